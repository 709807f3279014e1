// Where acts are born: whole, past tense, checked before they are kept.
import { newId, refusal } from "../core/acts/envelope.js";
import { colourBefore } from "../core/card/aside.js";
import { askAgainAt } from "../core/clock/film.js";
import { agoMs } from "../core/clock/past.js";
import * as areas from "../core/fold/areas.js";
import * as finishing from "../core/fold/finishing.js";
import { given } from "../core/fold/given.js";
import { stepsFor, usual } from "../core/fold/route.js";
import { laidSheet } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import { MINUTE_MS } from "../core/base/units.js";
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

/** What only this phone can tell of an act, by kind: a button's markup says the rest.  Some taps mean several acts, the
 *  one that the button names first.  `at` is the lane that the button is of, {lane, step}, where the panel has several:
 *  what a person taps on one lane never goes to another. */
const MAKERS = {
  panel_added: (on, { name, job, route, choices, step, coat }) => {
    const added = panelAdded(name, job, route ? views.view(route).doc : null, choices);
    return step ? taught.begun(added, step, coat) : added;
  },
  panel_named: (on, { name, job, choices }) =>
    born(on, "panel_named", { name: name.trim(), job: job.trim(), ...(choices && { choices }) }),
  film_laid: (on, offer, at) => filmLaid(on, offer, at),
  cup_mixed: (on, mix) => cupMixed(mix),
  found_ready: (on, fields, at) => foundReady(on, at),
  found_not_ready: (on, fields, at) => foundNotReady(on, at),
  step_done: (on, { step, all }, at) =>
    all === "before" ? doneBefore(on, step) : born(on, "step_done", { step: stepAt(on, at).id }),
  step_added: (on, fields, at) => ADDED[fields.step]?.(on, at) ?? stepAdded(on, fields),
  step_moved: (on, { step, by }) => stepMovedBy(on, step, by),
  sent_back: (on, fields, at) => taught.sentBack(on, fields, at),
  route_written: (on) => routeWritten(t("As {name}", { name: views.view(on).name }).slice(0, 200), on),
  air_expected: (on, fields) => airExpected(on, fields),
  surface_read: (on, heat) => surfaceRead(on, heat),
  undone: (on, fields) => takenBack("undone", on, fields),
  restored: (on, fields) => takenBack("restored", on, fields),
};

/** The acts that a button says: of a kind, on a thing, with the fields in its markup, and what its form holds; a form
 *  may say that they happened before now. */
export function made(on, kind, { lane, lane_step: step, ...fields }, form = {}) {
  const ago = agoMs(form, Math.floor(clock.now()), queries.zone());
  const [at, maker] = [{ lane, step }, MAKERS[kind] ?? taught[kind]];
  const acts = [maker ? maker(on, { ...form, ...fields }, at) : born(on, kind, fields)].flat();
  return ago ? acts.map((act) => earlier(act, ago)) : acts;
}

/** The step that a button is about: the one that it names, else the one that is due. */
export const stepAt = (on, { lane, step } = {}) =>
  finishing.steps(views.view(on)).find(({ id }) => id === step) ?? views.laneOf(on, lane).step;

const taught = {}; // what screens that are loaded late make of their acts
export const teach = (makers) => Object.assign(taught, makers);

/** An act as it happened so much earlier; a panel is added when it is. */
export const earlier = (act, ms) => (act.kind === "panel_added" ? act : { ...act, at: act.at - ms });

/** A panel with those steps of a route that its job needs. */
export const panelAdded = (name, job, route, choices = {}) =>
  born(thingId("panel"), "panel_added", {
    name: name.trim(),
    job: job.trim(),
    route: route?.name || "",
    steps: route ? stepsFor(route, choices) : [],
    ...(route && { choices: { ...usual(route), ...choices } }),
  });

/** A film, and what it says of the cup that it came from; of a coat named, those before it count as laid. */
export function filmLaid(on, offer, at) {
  const product = views.view(offer.product).doc;
  const step = stepAt(on, at);
  const id = freshId();
  const coat = offer.coat ?? step.laid + 1;
  const more = coat > step.laid + 1 ? { coats_on: coat } : {};
  const film = { film: id, step: step.id, area: step.area, coat, ...more, product: product.id };
  const sheet = laidSheet(product, offer.variant, film.coat);
  const now = Math.floor(clock.now());
  const cup = cupOf(offer.product, sheet.variant, now - agoMs(offer, now, queries.zone()));
  const laid = born(on, "film_laid", { ...film, sheet, ...(cup && { cup }) }, id);
  return cup ? [laid, born(cup, "cup_used", { panel: on, film: id })] : laid;
}

/** The newest cup of just this product and variant that was good at a moment: a film comes from no other. */
export const cupOf = (productOn, variant, at) =>
  cupsOf(productOn).findLast((on) => {
    const { sheet, mixed_at: mixed } = views.view(on);
    return (sheet.variant ?? "") === variant && mixed <= at && (views.times(on).shuts_at ?? Infinity) > at;
  });

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

const foundReady = (on, { lane }) => {
  const { films, gate } = views.laneOf(on, lane).times;
  return born(on, "found_ready", { films, gate });
};

export const foundNotReady = (on, { lane } = {}) => {
  const { films, gate, laid_at: laid, opens_at: opens } = views.laneOf(on, lane).times;
  return born(on, "found_not_ready", { films, gate, ask_at: askAgainAt(laid, opens, Math.floor(clock.now())) });
};

/** The panel came in further on: all that a step waits for is done. */
export function doneBefore(on, step) {
  const steps = finishing.steps(views.view(on));
  const nth = steps.findIndex((one) => one.id === step);
  const before = steps.slice(0, nth).filter((one) => areas.touch(one.area, steps[nth].area));
  return before.filter((one) => one.done_at === null).map((one) => born(on, "step_done", { step: one.id }));
}

/** A sanding step put before the step whose window was missed, on the lane whose film it was. */
function scuffAdded(on, at) {
  const step = stepAt(on, at);
  const id = freshId();
  const scuff = { id, do: "sand", words: t("Scuff, the window was missed"), area: at.lane || step.area };
  return born(on, "step_added", { step: scuff, before: step.id }, id);
}

/** One more coat of the colour that was laid last, before the step that is due. */
function moreAdded(on, at) {
  const step = stepAt(on, at);
  const id = freshId();
  const more = given(colourBefore(views.view(on), step), id, step.area);
  return born(on, "step_added", { step: more, before: step.id }, id);
}

/** Steps that a button puts in as they are, by their name in its markup. */
const ADDED = { scuff: scuffAdded, more: moreAdded };

/** The steps of a panel, without those of spots that were sent back. */
export function ownSteps(on) {
  const again = new Set(
    shop.actsOf(on).flatMap(({ kind, steps }) => (kind === "sent_back" ? steps : []).map((one) => one.id)),
  );
  return views.view(on).steps.filter((one) => !again.has(one.id));
}

/** A step as it was put together; called by what it is where the person wrote nothing, with the grit that its words
 *  name. */
function stepAdded(on, { step: said, where, words, area: spot = "", default_words: called }) {
  const [id, area] = [freshId(), spot.trim()];
  const step = { ...said, ...(area && { area }) };
  const name = words.trim() || called;
  const grit = Number(/\bP ?(\d{2,4})\b/i.exec(name)?.[1] ?? 0);
  const isAhead = (one) => one.done_at === null && areas.touch(one.area, step.area ?? "");
  const next = where === "now" ? views.view(on).steps.find(isAhead) : null;
  return born(on, "step_added", { step: { id, ...step, words: name, grit }, before: next?.id ?? null }, id);
}

/** A step put before the one that stands so many places from it. */
function stepMovedBy(on, step, by) {
  const { steps } = views.view(on);
  const at = Math.max(steps.findIndex((one) => one.id === step) + by, 0);
  return born(on, "step_moved", { step, before: steps[at]?.id ?? null });
}

function airExpected(on, fields) {
  if (!fields.for_ms) throw new Error(t("Say by when first. Nothing was saved."));
  return born(on, "air_expected", fields);
}

/** What was read on a panel itself, or what a lamp or an oven brings it to, for so many minutes or until its end. */
function surfaceRead(on, { temp_dc, minutes, ...ramps }) {
  const hotFrom = Math.floor(clock.now()) + (ramps.warm_ms ?? 0);
  return born(on, "surface_read", { temp_dc, until_ms: minutes ? hotFrom + minutes * MINUTE_MS : null, ...ramps });
}

export const putAway = (on) => born(on, "panel_put_away");

/** An act taken out ("undone") or put back ("restored"), and with a film what it said of its cup. */
export function undoing(kind, on, actId) {
  const target = shop.actsOf(on).find((act) => act.id === actId);
  const cupActs = target?.cup
    ? shop.actsOf(target.cup).filter((act) => act.kind === "cup_used" && act.film === target.film)
    : [];
  return [born(on, kind, { act: actId }), ...cupActs.map((act) => born(act.on, kind, { act: act.id }))];
}

/** An act taken out or put back; with `also` just that one and these others: [{on, kind, act}]. */
const takenBack = (kind, on, { act, also }) =>
  also ? [{ on, kind, act }, ...also].map((one) => born(one.on, one.kind, { act: one.act })) : undoing(kind, on, act);

/** What takes an act out again, or puts it back: {on, kind, act}. */
export const backOf = ({ on, kind, id, act }) =>
  kind === "undone" ? { on, kind: "restored", act } : { on, kind: "undone", act: id };

export const productMoved = (on, away) => born(on, away ? "sheet_put_away" : "sheet_brought_back");
/** A product's sheet, over the writings that the person saw when the editor opened. */
export const sheetWritten = (on, doc, over) => born(on, "sheet_written", { doc, over });
export const gunSet = (on, fields) => born(on, "gun_set", fields);

/** The steps of a panel kept as a route of the shop, without the spots that were sent back. */
function routeWritten(name, panelOn) {
  const steps = ownSteps(panelOn).map((one, n) => given(one, `${n + 1}`, one.area, one.coats));
  return born(thingId("route"), "route_written", { doc: { name, steps } });
}
