// What was entered wrong is corrected in its place: when it was, the product and its hardener, which coat.  Each choice
// is one tap; the first entry stays in the history.  Loaded when first asked for.
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { minuteOf, nearestAt } from "../core/clock/past.js";
import { clock as clockWords } from "../core/base/words.js";
import { t } from "../core/base/translate.js";
import { MINUTE_MS } from "../core/base/units.js";
import { standing } from "../core/fold/order.js";
import { laidSheet, offers } from "../core/fold/shelf.js";
import * as acts from "../data/acts.js";
import * as clock from "../data/clock.js";
import * as queries from "../data/queries.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { setVals } from "../ui/act_markup.js";
import * as describe from "../ui/describe.js";
import { buttons, open } from "../ui/dialogs.js";
import { say, show } from "../ui/dom.js";

const EARLIER_MIN = [5, 10, 20, 30];
const LATER_MIN = [5, 10];
const OF_SHEETS = ["film_laid", "cup_mixed"];
const node = (id) => document.getElementById(id);

export const actions = { correct: ({ key }, { on, zone }) => openCorrect(on, key, zone) };

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

/** An act as it stands, corrected or not; undefined where it was taken out. */
const standingAct = (on, key) => standing(shop.actsOf(on)).find(({ id }) => id === key);

function openCorrect(on, key, zone) {
  const act = standingAct(on, key);
  if (!act) return;
  const now = Math.floor(clock.now());
  const vals = { kind: "act_corrected", on, act: key, of: act.kind };
  say("correct-what", `${clockWords(act.at, now, zone)} ${describe.words(act)}`);
  const moved = (words, by) => [
    `${words} ${clockWords(act.at + by * MINUTE_MS, now, zone)}`,
    { do: "correct-moved", act: { ...vals, at_ms: act.at + by * MINUTE_MS } },
  ];
  buttons("correct-times", [
    ...EARLIER_MIN.map((n) => moved(t("{n} min earlier:", { n }), -n)),
    ...LATER_MIN.filter((n) => act.at + n * MINUTE_MS <= now).map((n) => moved(t("{n} min later:", { n }), n)),
  ]);
  node("correct-time").value = "";
  setVals(node("correct-at"), { ...vals, near: act.at });
  show("correct-sheet", OF_SHEETS.includes(act.kind));
  show("correct-coat", act.kind === "film_laid");
  buttons("correct-products", OF_SHEETS.includes(act.kind) ? productsFor(act, vals) : []);
  buttons("correct-coats", act.kind === "film_laid" ? coatsFor(act, vals) : []);
  open("dialog-correct", on);
}

/** Products of the class and their variants, but for the one that was entered. */
function productsFor({ product, sheet, coat }, vals) {
  const isCup = vals.of === "cup_mixed";
  const docs = queries.docs("product").filter((one) => one.away_at === null && (!isCup || one.doc.ratio));
  const products = docs.map((one) => ({ ...one.doc, id: one.on }));
  const temp = lastRead(views.airState(), clock.now())?.[1] ?? ASSUMED_DC;
  return offers(products, sheet.cls, `product:${product}`, temp)
    .filter((one) => one.product !== `product:${product}` || one.with !== (sheet.variant ?? ""))
    .map((one) => [
      [one.name, one.with].filter(Boolean).join(", "),
      { do: "correct-product", act: { ...vals, product: one.product, variant: one.variant, coat } },
    ]);
}

const coatsFor = ({ coat }, vals) =>
  Array.from({ length: Math.max(3, coat + 1) }, (_, nth) => nth + 1)
    .filter((n) => n !== coat)
    .map((n) => [t("It is coat {n}", { n }), { do: "correct-coat", act: { ...vals, coat: n } }]);

/** The correction that a button says, and what it means for the cup. */
function corrected(on, { act: id, of, at_ms: at, near, product, variant, coat, correct_time: time }) {
  const act = standingAct(on, id);
  const about = { act: id, of };
  const now = Math.floor(clock.now());
  if (near)
    return acts.born(on, "act_corrected", { ...about, at_ms: nearestAt(minuteOf(time), near, now, queries.zone()) });
  if (at) return acts.born(on, "act_corrected", { ...about, at_ms: at });
  const doc = views.view(product ?? `product:${act.product}`).doc;
  const said = {
    product: product ? product.split(":")[1] : act.product,
    sheet: sheetOf(act, doc, product, variant, coat),
  };
  if (of === "cup_mixed") return acts.born(on, "act_corrected", { ...about, ...said });
  const cup = product ? acts.cupOf(product, said.sheet.variant, act.at) : act.cup;
  const more = coat > act.coat ? { coats_on: coat } : coat === act.coat && act.coats_on ? { coats_on: coat } : {};
  const fix = acts.born(on, "act_corrected", { ...about, ...said, coat, ...more, ...(cup && { cup }) });
  return cup === act.cup ? fix : [fix, ...cupActs(on, act, cup)];
}

/** The sheet that the film or cup keeps: of another variant or product, or for another number of coats. */
function sheetOf(act, doc, product, variant, coat) {
  if (product) return laidSheet(doc, variant, coat);
  if (!doc?.coat_gates?.length) return act.sheet;
  const own = doc.variants?.find((one) => one.name === act.sheet.variant);
  return laidSheet(doc, own?.id ?? "", coat);
}

/** The film went not from one cup but from another, or from none. */
function cupActs(on, { cup: old, film, at }, cup) {
  const used = old ? standing(shop.actsOf(old)).filter((one) => one.kind === "cup_used" && one.film === film) : [];
  const ago = Math.floor(clock.now()) - at;
  return [
    ...used.map((one) => acts.born(old, "undone", { act: one.id })),
    ...(cup ? [acts.earlier(acts.born(cup, "cup_used", { panel: on, film }), ago)] : []),
  ];
}

acts.teach({ act_corrected: corrected });
