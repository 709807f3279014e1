// A sheet as typed (all texts) to a product's doc and back.  Pure: no page, no clock.
import { Refused, text } from "../core/base/check.js";
import { checkDoc, checkSheet } from "../core/acts/product_schema.js";
import { checkFigures } from "../core/acts/figures.js";
import { laidSheet } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import { KINDS, Missing, tempText, timeText } from "./parse.js";
import {
  FIGURES,
  missing,
  ownRatioText,
  ratioTexts,
  ratioOf,
  spanOf,
  ribbonOf,
  figureOf,
  wordsOf,
  points,
  variantOf,
  OWN,
  ownTexts,
  coatOf,
} from "./fields.js";

const USUAL = "mixed"; // what solids are of where a sheet does not say

/** A doc as texts in the fields of the form. */
export function formOf(doc, units) {
  const {
    name = "",
    cls,
    notes = "",
    sheet_date: date = "",
    hardener_span_pm: span,
    ribbon,
    variants = [],
    coat_gates: coats = [],
  } = doc;
  const figures = Object.entries(FIGURES).map(([key, [, kind]]) => [
    key,
    isSaid(doc[key]) ? KINDS[kind].write(doc[key], units) : "",
  ]);
  return {
    ...{
      name,
      cls,
      notes,
      sheet_date: date,
      solids_of: doc.solids_of === USUAL ? "" : (doc.solids_of ?? ""),
      own: doc.typical ? "" : "yes",
      holds: doc.hardener ?? "",
      in_can: doc.in_can ? "yes" : "",
      ...Object.fromEntries(figures),
      ...ratioTexts(doc),
    },
    ...{ span_from: span ? KINDS.pm.write(span[0]) : "", span_to: span ? KINDS.pm.write(span[1]) : "" },
    ...{ ribbon_mm: ribbon ? String(ribbon.mm) : "", ribbon_disc: ribbon ? String(ribbon.disc_mm) : "" },
    uses: doc.uses ?? [],
    gates: lines(doc.gates, units),
    variants: variants.map((one) => ({
      id: one.id,
      name: one.name,
      ...bandTexts(one.band_dc, units),
      ratio: ownRatioText(cls, one.ratio),
      ...ownTexts(one, units),
      gates: lines(one.gates, units),
    })),
    coat_gates: coats.map((one) => ({ coat: String(one.coat), gates: lines(one.gates, units) })),
  };
}

/** The doc that a form says, over what the doc before it held, and what is wrong: {doc, faults: [{field, words,
 *  late}]}. */
export function docOf(form, base, units) {
  const doc = {
    ...base,
    name: form.name.trim(),
    cls: form.cls,
    typical: Boolean(base.typical) && form.own !== "yes",
    gates: {},
  };
  const faults = [];
  const at = (field, work) => attempt(faults, field, work);
  const put = (key, value) => (value === undefined ? delete doc[key] : (doc[key] = value));
  at("name", () =>
    doc.name ? text(t("The name"), doc.name, 1, 200) : missing(t("The name is empty. Nothing was saved.")),
  );
  put(
    "ratio",
    at("ratio", () => ratioOf(form, base, doc.cls)),
  );
  put(
    "hardener_span_pm",
    at("span", () => spanOf(form)),
  );
  at("ratio", () => checkFigures({ cls: doc.cls, ratio: doc.ratio, hardener_span_pm: doc.hardener_span_pm }));
  put(
    "ribbon",
    at("ribbon", () => ribbonOf(form, base)),
  );
  for (const key of Object.keys(FIGURES))
    put(
      key,
      at(key, () => figureOf(key, form, doc, units)),
    );
  put("uses", form.uses.length || base.uses ? form.uses : undefined);
  put("hardener", form.holds || undefined);
  put("in_can", form.in_can === "yes" ? true : base.in_can === undefined ? undefined : false);
  put("solids_of", form.solids_of || (base.solids_of === USUAL ? USUAL : undefined));
  at("highest_dc", () => checkSheet({ ...doc, name: "x", gates: {} }));
  for (const key of ["notes", "sheet_date"])
    put(
      key,
      at(key, () => wordsOf(key, form)),
    );
  for (const [gate, rows] of Object.entries(form.gates))
    at(`gates.${gate}`, () => (doc.gates[gate] = points(rows, gate, units)));
  at("gates.recoat_by", () => checkFigures({ cls: doc.cls, gates: doc.gates }));
  put(
    "variants",
    listOf(form.variants, (one, nth) =>
      at(`variants.${nth}`, () => variantOf(one, base, units, { cls: doc.cls, by: form.ratio_by })),
    ),
  );
  put(
    "coat_gates",
    listOf(form.coat_gates, (one, nth) => at(`coat_gates.${nth}`, () => coatOf(one, base, units))),
  );
  for (const [nth, one] of form.variants.entries()) at(`variants.${nth}`, () => checkLaid(doc, one, one.id, 1));
  for (const [nth, one] of form.coat_gates.entries())
    at(`coat_gates.${nth}`, () => checkLaid(doc, one, "", Number(one.coat)));
  if (!faults.length && !Object.keys(doc.gates).length)
    at("gates", () => missing(t("The sheet has no times. Nothing was saved.")));
  if (!faults.length) at("", () => checkDoc("sheet_written", doc));
  return { doc, faults };
}

function attempt(faults, field, work) {
  try {
    return work();
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    if (!faults.some((fault) => fault.field === field))
      faults.push({ field, words: why.message, late: why instanceof Missing });
    return undefined;
  }
}

const isSaid = (value) => value !== undefined && value !== null;

/** What was made of the rows that say something; undefined where none does. */
function listOf(rows, make) {
  const made = rows.map((one, nth) => (isBlank(one) ? undefined : make(one, nth))).filter(isSaid);
  return made.length ? made : undefined;
}

const isBlank = ({ name = "", coat = "", from = "", to = "", ratio = "", gates, ...own }) =>
  ![name, coat, from, to, ratio, ...OWN.map((key) => own[key] ?? "")].join("").trim() && !Object.keys(gates).length;

/** What a film would keep, with a variant's or a later coat's own times among the common ones. */
const checkLaid = (doc, { gates }, variant, coat) =>
  Object.keys(gates).length &&
  checkFigures({ cls: "clear", gates: laidSheet({ ...doc, name: "x" }, variant, coat).gates });

function bandTexts(band, units) {
  const [from, to] = band ? band.map((dc) => tempText(dc, units.temp)) : ["", ""];
  return { from, to };
}

const lines = (gates = {}, units) =>
  Object.fromEntries(
    Object.entries(gates).map(([gate, all]) => [
      gate,
      all.map(([dc, ...times]) => ({ temp: tempText(dc, units.temp), ...timeText(...times) })),
    ]),
  );
