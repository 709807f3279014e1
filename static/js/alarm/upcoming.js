// What rings and is going to ring of the whole floor, and how it is put into words.
import { ringsHere } from "./preferences.js";
import * as due from "../core/card/alarms.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { closes } from "./loop.js";

/** All rings of the floor, those too that were told; for the ways that look ahead. */
export const everything = (now) =>
  [...queries.onFloor(), ...queries.cups()].flatMap((on) => due.rings(on, views.view(on), views.times(on), now));

/** The next ring of this phone, or null. */
export function next(now) {
  const ahead = everything(now).filter((one) => one.at_ms > now && ringsHere(one));
  return ahead.sort((one, two) => one.at_ms - two.at_ms)[0] ?? null;
}

/** A ring in words, with its panel and a clock time. */
export function sentence(ring, now) {
  const state = views.view(thing(ring.key));
  return due.words(ring, due.nameOf(state, ring.area), due.todo(state, ring.gate, ring.area), now, queries.zone());
}

export const thing = (key) => key.split(" ")[0];
export const placeOf = (key) => (key.startsWith("panel:") ? `#panel=${thing(key)}` : "#floor");
export const tuneOf = (rings) => (rings.some(closes) ? "closes" : "opens");
