// A shop without a recovery phrase: said on the floor of a keeper's phone after its first day, until there is one.
import * as clock from "../data/clock.js";
import * as shop from "../data/state.js";
import { show } from "../ui/dom.js";

const DAY_MS = 86_400_000; // our own rule: a day of use before it is said, and a day between once it was closed
let began = null;

export const actions = { "unprinted-close": () => shop.note({ unprinted: Math.floor(clock.now()) }) };

/** Whether it is said at a moment: `phrase` is whether there is one (undefined: not heard yet), `began` the moment
 *  of the first work, `closed` when the person closed it last, null where neither happened. */
export const isDue = ({ role, phrase, rings, began: first, closed }, now) =>
  role === "keeper" &&
  phrase === false &&
  !rings &&
  first !== null &&
  now - first > DAY_MS &&
  (closed === null || now - closed >= DAY_MS);

/** The line under the cards, where nothing moves when it comes. */
export function paint(now) {
  const { role, phrase, unprinted: closed = null } = shop.meta;
  if (role === "keeper" && phrase === false) began ??= firstWork();
  show("unprinted", isDue({ role, phrase, rings: document.body.dataset.ringing === "yes", began, closed }, now));
}

/** When the first panel or cup was worked on; null before. */
function firstWork() {
  const worked = shop.heardActs().filter(({ on }) => /^(panel|cup):/.test(on));
  return worked.reduce((first, { at }) => Math.min(first ?? at, at), null);
}
