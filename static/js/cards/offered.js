// What is offered at a step of a panel, first choice first, and the gun that last worked with a product.
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { lastLaid, offers } from "../core/fold/shelf.js";
import { standing } from "../core/fold/order.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import * as queries from "../data/queries.js";
import { actsOf } from "../data/state.js";
import * as views from "../data/views.js";

const SPREAD = ["putty", "seam"]; // no gun lays them

/** The panel's own temperature where one was read and rules, else null. */
export function surface(on) {
  const now = clock.now();
  const last = views.view(on).surfaces?.findLast(([from, until]) => from <= now && (until === null || until > now));
  return last ? last[2] : null;
}

export const temperature = (on) => surface(on) ?? lastRead(views.airState(), clock.now())?.[1] ?? ASSUMED_DC;

/** The products and variants for a step, first choice first: what stands mixed in a cup (`cup`) before all else. */
export function offered(on, step) {
  const products = queries
    .docs("product")
    .filter((one) => one.away_at === null)
    .map((one) => ({ ...one.doc, id: one.on }));
  const last = lastLaid(views.view(on).films, products, step.cls, step.use);
  const now = Math.floor(clock.now());
  const all = offers(products, step.cls, last, temperature(on), step.use, step.card);
  const each = all.map((one) => ({ ...one, cup: acts.cupOf(one.product, one.with, now) }));
  return [...each.filter((one) => one.cup), ...each.filter((one) => !one.cup)];
}

/** The first choice where a gun lays it; else null. */
export function firstSprayed(on, step) {
  const [first] = step.do === "coat" ? offered(on, step) : [];
  return first && !SPREAD.includes(views.view(first.product).doc.cls) ? first : null;
}

/** The set-up that was written down last of a product, {gun, set}; null where there is none. */
export function lastGun(productOn) {
  const { guns = {} } = views.view(productOn);
  const told = standing(actsOf(productOn)).findLast(({ kind, gun }) => kind === "gun_set" && guns[gun]);
  const gun = told?.gun ?? Object.keys(guns).at(-1);
  return gun === undefined ? null : { gun, set: guns[gun] };
}
