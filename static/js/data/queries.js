// What the screens ask of the shop: its panels, cups, products, phones, units and zone.  Nothing is changed here.
import * as clock from "./clock.js";
import * as cup from "../core/card/cup.js";
import { isCuring } from "../core/clock/clock_step.js";
import * as house from "../core/fold/shop_state.js";
import { actsOf, heardActs, meta, names, rows } from "./state.js";
import { view } from "./views.js";

const panels = (stands) => names("panel").filter((on) => stands(view(on)));
export const onFloor = () => panels(({ added_at: added, away_at: away }) => added !== null && away === null);
/** Those that stand as cards: the panels that only cure have a list of their own below them. */
export const inWork = () => onFloor().filter((on) => !isCuring(view(on)));
export const putAway = () => panels(({ added_at: added, away_at: away }) => added !== null && away !== null);
/** The act that a panel began with; undefined where this phone does not know it. */
export const birth = (on) => actsOf(on).find(({ kind }) => kind === "panel_added");
/** Acts that panels began with which were taken out, and with them the panels. */
export const takenOut = () =>
  panels(({ added_at: added }) => added === null)
    .map(birth)
    .filter(Boolean);

/** Cups mixed and not emptied, the newest last. */
export function cups() {
  const all = names("cup").filter((on) => cup.stands(view(on)));
  return all.sort((one, two) => view(one).mixed_at - view(two).mixed_at || (one < two ? -1 : 1));
}

/** The newest acts on panels, cups, air, products and routes, for the book. */
export function bookActs(most) {
  const own = rows()
    .filter((row) => !row.why)
    .map((row) => row.act);
  const once = new Map([...heardActs(), ...own].map((act) => [act.id, act]));
  const written = (act) => act.over || !/^(sheet|route)_written$/.test(act.kind); // not the shelf a shop starts with
  return [...once.values()]
    .filter(written)
    .sort((one, two) => two.at - one.at)
    .slice(0, most);
}

/** Written products or routes: [{on, doc, away_at}], by name. */
export function docs(kind) {
  const all = names(kind).map((on) => ({ on, ...view(on) }));
  return all.filter((one) => one.doc).sort((one, two) => one.doc.name.localeCompare(two.doc.name));
}

/** The units the shop reads and types in: {temp: "c" | "f", volume: "ml" | "floz", weight: "g" | "oz", film: "um" |
 *  "mil", hours: "24" | "12"}. */
export const units = () => view("shop").units;
/** How a moment becomes the time on the shop's wall: minutes east of UTC, and the hours that its clocks show. */
export const zone = () => ({ minutesEast: clock.zoneFor(meta), hours: units().hours });
/** The phones that were given a name, and what a phone's person is called in a sentence. */
export const phones = () => view("shop").phones ?? {};
export const called = (phone) => house.called(phones(), phone, meta.phone);
