// How this phone shows things: the server's word and its own acts folded, with their times; kept until one of them
// changes.
import * as air from "../core/clock/air.js";
import * as cup from "../core/card/cup.js";
import * as film from "../core/clock/film.js";
import * as lanes from "../core/clock/lanes.js";
import * as house from "../core/fold/shop_state.js";
import * as panel from "../core/fold/panel.js";
import * as shelf from "../core/fold/shelf.js";
import * as events from "./events.js";
import { heardOf, ownActs } from "./state.js";

const FOLDS = {
  panel: panel.fold,
  cup: cup.fold,
  air: air.fold,
  product: shelf.fold,
  route: shelf.fold,
  shop: house.fold,
};
const views = new Map(); // on -> folded with our own acts
const timed = new Map(); // on -> times, for a view and a trace
let steps = null;

/** A thing as this phone shows it. */
export function view(on) {
  if (!views.has(on)) views.set(on, folded(on));
  return views.get(on);
}

export const airState = () => view("air");
export const trace = () => (steps ||= air.trace(airState()));

/** The temperatures that a thing has felt: the shop's, under a panel's own surface. */
export const felt = (on) => (on.startsWith("panel:") ? film.felt(view(on), airState(), trace()) : trace());

export function times(on) {
  if (!timed.has(on)) timed.set(on, (on.startsWith("cup:") ? cup : film).times(view(on), felt(on)));
  return timed.get(on);
}

/** The lanes of a panel that have a step to do now: what their buttons say of them, {} of the only one. */
export function openLanes(on) {
  const all = lanes.lanes(view(on));
  const open = all.filter((lane) => !lane.waits.length);
  return open.map(({ area, state }) => (all.length > 1 ? { lane: area, lane_step: panel.current(state)?.id } : {}));
}

/** The lane of a panel that a button was about: {area, state, times, step}; without an area the first.  One that is no
 *  lane any more is as much of the panel as the area is about: a tap never goes to another lane. */
export function laneOf(on, area) {
  const [all, reckoned] = [lanes.lanes(view(on)), times(on)];
  const at = area === undefined ? 0 : all.findIndex((lane) => lane.area === area);
  const state = at < 0 ? lanes.part(view(on), area) : all[at].state;
  const own = at < 0 ? film.times(state, felt(on)) : (reckoned.lanes?.[at] ?? reckoned);
  return { area: area ?? all[0].area, state, times: own, step: panel.current(state) };
}

function folded(on) {
  const own = ownActs(on);
  const thing = heardOf(on);
  return own.length || !thing ? FOLDS[on.split(":")[0]]([...(thing?.acts || []), ...own]) : thing.state;
}

events.listen("thing", forget);

function forget(on) {
  views.delete(on);
  timed.delete(on);
  if (on !== "air") return;
  steps = null;
  timed.clear();
}
