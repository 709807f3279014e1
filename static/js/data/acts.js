// Where acts are born: whole, past tense, checked before they are kept.
import { newId, refusal } from "../core/acts/envelope.js";
import { askAgainAt } from "../core/clock/film.js";
import { current } from "../core/fold/panel.js";
import { laidSheet } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import * as clock from "./clock.js";
import * as shop from "./state.js";
import * as views from "./views.js";
import * as queries from "./queries.js";

export const freshId = () => newId(Math.max(0, Math.floor(clock.now())), crypto.getRandomValues(new Uint8Array(10)));
export const thingId = (kind) => `${kind}:${freshId()}`;

/** The phone that acts, once the server has said which one this is. */
const who = () => (shop.meta.phone?.length === 36 ? { who: shop.meta.phone } : {});

/** An act ready to keep; throws an Error in the person's words when a field will not do. */
export function born(on, kind, fields = {}, id = freshId()) {
  const act = { id, at: Math.floor(clock.now()), on, kind, ...who(), ...fields };
  const why =
    shop.meta.role === "wall"
      ? t("This phone is on the wall: it may only look. Nothing was saved.")
      : refusal(act, Math.floor(clock.now()));
  if (why) throw new Error(why);
  return act;
}

export const panelAdded = (name, job, route) =>
  born(thingId("panel"), "panel_added", {
    name: name.trim(),
    job: job.trim(),
    route: route?.name || "",
    steps: route?.steps || [],
  });

export function filmLaid(on, offer) {
  const product = views.view(offer.product).doc;
  const step = current(views.view(on));
  const id = freshId();
  const film = { film: id, step: step.id, area: step.area, coat: step.laid + 1, product: product.id };
  const sheet = laidSheet(product, offer.variant, film.coat);
  return born(on, "film_laid", { ...film, sheet, ...fromCup(offer.product, sheet.variant) }, id);
}

/** A film is taken to come from the newest cup of its product on the floor, before others from one of its variant.
 *  Never from one whose pot life is over: the record would say what nobody did. */
function fromCup(productOn, variant) {
  const alike = cupsOf(productOn).filter((on) => !isOver(on));
  const cup = alike.findLast((on) => views.view(on).sheet.variant === variant) ?? alike.at(-1);
  return cup ? { cup } : {};
}

const cupsOf = (productOn) => queries.cups().filter((on) => `product:${views.view(on).product}` === productOn);

const isOver = (on) => (views.times(on).shuts_at ?? Infinity) <= clock.now();

/** Whether a product stands in cups on the floor, and all of them are over. */
export const onlyDeadCups = (productOn) => cupsOf(productOn).length > 0 && cupsOf(productOn).every(isOver);

export function cupMixed({ productOn, variant, by, amounts, names, panels }) {
  const { doc } = views.view(productOn);
  if (!doc) throw new Error(t("This product is not on this phone. Nothing was saved."));
  const mix = { product: productOn.split(":")[1], sheet: laidSheet(doc, variant), by, amounts, names, for: panels };
  return born(thingId("cup"), "cup_mixed", mix);
}

/** What a film laid from a cup says of the cup; nothing when it came from none. */
export const cupUsed = ({ on, film, cup }) => (cup ? [born(cup, "cup_used", { panel: on, film })] : []);
export const cupEmptied = (on, left) => born(on, "cup_emptied", { left });

export const foundReady = (on) => {
  const { films, gate } = views.times(on);
  return born(on, "found_ready", { films, gate });
};

export const foundNotReady = (on) => {
  const { films, gate, laid_at: laid, opens_at: opens } = views.times(on);
  return born(on, "found_not_ready", { films, gate, ask_at: askAgainAt(laid, opens, Math.floor(clock.now())) });
};

export const stepDone = (on) => born(on, "step_done", { step: current(views.view(on)).id });

/** The panel came in further on: all that stands before a step is done. */
export function stepsDoneBefore(on, step) {
  const { steps } = views.view(on);
  const before = steps.slice(
    0,
    steps.findIndex((one) => one.id === step),
  );
  return before.filter((one) => one.done_at === null).map((one) => born(on, "step_done", { step: one.id }));
}

/** A sanding step put before the step whose window was missed. */
export function scuffAdded(on) {
  const step = current(views.view(on));
  const id = freshId();
  const scuff = { id, do: "sand", words: t("Scuff, the window was missed"), area: step.area };
  return born(on, "step_added", { step: scuff, before: step.id }, id);
}

/** What a step was given, without its number, its area and what happened to it. */
const given = ({ do: does, words, cls, coats, grit, needs }) => ({
  do: does,
  words,
  cls,
  coats,
  grit,
  ...(needs && { needs }),
});

/** An area sent back: the steps from the target up to now again, for that area only, one coat each. */
export function sentBack(on, target, why, area) {
  const { steps } = views.view(on);
  const step = current(views.view(on));
  const end = step ? steps.indexOf(step) : steps.length;
  const id = freshId();
  const again = steps
    .slice(
      steps.findIndex((one) => one.id === target),
      end,
    )
    .filter((one) => one.area === "" || one.area === area)
    .map((one, n) => ({ ...given(one), id: `${id}.${n}`, coats: 1, area }));
  return born(on, "sent_back", { step: target, area, why, steps: again, before: step?.id ?? null }, id);
}

export function stepAdded(on, step, before) {
  const id = freshId();
  return born(on, "step_added", { step: { id, ...step, words: step.words.trim() }, before }, id);
}

export const stepDropped = (on, step) => born(on, "step_dropped", { step });
/** A step put before the one that stands so many places from it. */
export function stepMovedBy(on, step, by) {
  const { steps } = views.view(on);
  const at = Math.max(steps.findIndex((one) => one.id === step) + by, 0);
  return born(on, "step_moved", { step, before: steps[at]?.id ?? null });
}

export const panelNamed = (on, name, job) => born(on, "panel_named", { name: name.trim(), job: job.trim() });
export const putAway = (on) => born(on, "panel_put_away");
export const broughtBack = (on) => born(on, "panel_brought_back");

/** An act taken out ("undone") or put back ("restored"), and with a film what it said of its cup. */
export function undoing(kind, on, actId) {
  const target = shop.actsOf(on).find((act) => act.id === actId);
  const cupActs = target?.cup
    ? shop.actsOf(target.cup).filter((act) => act.kind === "cup_used" && act.film === target.film)
    : [];
  return [born(on, kind, { act: actId }), ...cupActs.map((act) => born(act.on, kind, { act: act.id }))];
}

/** What takes an act of the last tap out again, or puts it back. */
export const takenBack = ({ on, kind, id, act }) =>
  kind === "undone" ? born(on, "restored", { act }) : born(on, "undone", { act: id });

export const airRead = (temp, rh) => born("air", "air_read", { temp_dc: temp, rh_pm: rh });
export const productMoved = (on, away) => born(on, away ? "sheet_put_away" : "sheet_brought_back");
/** A product's sheet, over the writings that the person saw when the editor opened. */
export const sheetWritten = (on, doc, over) => born(on, "sheet_written", { doc, over });
export const gunSet = (on, fields) => born(on, "gun_set", fields);
export const gunDropped = (on, gun) => born(on, "gun_dropped", { gun });

/** The steps of a panel kept as a route of the shop, without areas. */
export function routeWritten(name, panelOn) {
  const plain = views.view(panelOn).steps.filter((step) => step.area === "");
  const steps = plain.map((one, n) => ({ ...given(one), id: `${n + 1}` }));
  return born(thingId("route"), "route_written", { doc: { name, steps } });
}
