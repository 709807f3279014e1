import { URGENCY } from "../core/card/alarms.js";
import { isQuiet } from "../core/clock/quiet_hours.js";
import { isMine, panelsOf, whose } from "../core/card/audience.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";

const DEFAULTS = {
  awake: true,
  sound: true,
  shake: true,
  voice: false,
  notify: true,
  track: false,
  kinds: URGENCY,
  mine: false,
  quiet: null,
};

/** Each way on or off, the kinds that ring here, only its own panels or all, the quiet hours. */
export const choices = () => ({ ...DEFAULTS, ...shop.meta.ringing });
export const choose = (values) => shop.remember({ ringing: { ...choices(), ...values } });

/** Whether a ring is for this phone: any is, unless only its own panels ring here. */
export function isOurs({ key }) {
  if (!choices().mine) return true;
  const state = views.view(key.split(" ")[0]);
  return isMine(whose(state, panelsOf(state).map(views.view)), shop.meta.phone);
}

/** Whether a ring rings here at its moment. */
export const ringsHere = (ring) => choices().kinds.includes(ring.kind) && isOurs(ring) && !isQuietAt(ring.at_ms);

export function isQuietAt(at) {
  const { quiet } = choices();
  return isQuiet(quiet && [quiet.from, quiet.to], at, queries.zone());
}
