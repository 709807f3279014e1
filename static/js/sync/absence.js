// A long silence: what this phone held before it, so that what others did meanwhile can be told once all is heard.
import { lines } from "../core/card/catch_up.js";
import * as shop from "../data/state.js";
const actsBefore = new Map(); // on -> the acts that this phone held, while the answers to one long silence come in

/** Called with each answer after a long silence, before its fragments are taken in. */
export function before(fragments) {
  for (const { on } of fragments) if (!actsBefore.has(on)) actsBefore.set(on, shop.actsOf(on));
}

/** Called once all is heard: what came is kept with what the person has not closed yet. */
export function after() {
  const changes = [...actsBefore].flatMap(([on, acts]) => lines(on, acts, shop.actsOf(on), shop.meta.phone));
  actsBefore.clear();
  const key = ({ on, kind }) => `${kind} ${on}`;
  const fresh = new Set(changes.map(key));
  const meanwhile = [...(shop.meta.meanwhile ?? []).filter((one) => !fresh.has(key(one))), ...changes];
  return changes.length ? shop.note({ meanwhile }) : null;
}
