// A sheet as typed (all texts) to a product's doc and back.  Pure: no page, no clock.
import { Refused, text } from "./core/check.js";
import { checkDoc, checkSheet } from "./core/doc.js";
import { checkFigures } from "./core/figures.js";
import { laidSheet } from "./core/shelf.js";
import { decimal, later, t } from "./core/tongue.js";
import { whole } from "./core/units.js";
import { KINDS, Missing, readRatio, readTemp, readTime, signed, tempText, tempWords, timeText, timeWords } from "./sheetread.js";

export const GATE_NAMES = { pot: later("Cup lasts [[a time]]"), flash: later("Next coat after"), sand: later("Dry to sand after"), recoat_by: later("Last moment to recoat"), handle: later("Handle after [[a time, then the panel may be carried]]"), cure: later("Cured after"), induction: later("Let stand before use"), clear_air: later("Air clear after spraying") };
export const GATE_UNITS = { pot: "min", flash: "min", sand: "h", recoat_by: "h", handle: "h", cure: "days", induction: "min", clear_air: "min" };
const PUTTY = ["putty", "sprayputty"];
/** Figures that stand in one field each: [words, kind]. */
export const FIGURES = {
  lowest_dc: [later("Lowest temperature"), "temp"],
  highest_dc: [later("Highest temperature"), "temp"],
  highest_rh_pm: [later("Highest humidity"), "pm"],
  sheet_rh_pm: [later("Humidity of the sheet's times"), "pm"],
  solids_pm: [later("Solids by volume"), "pm"],
  film_um: [later("Dry film of a coat"), "film"],
  coats: [later("Coats [[how many]]"), "count"],
  densities_g_l: [later("Weight of a litre"), "weights"],
  vocs_g_l: [later("Solvent in a litre"), "weights"],
  waters_g_l: [later("Water in a litre"), "weights"],
  before_p: [later("Paper before it [[sandpaper]]"), "count"],
  after_p: [later("Paper after it [[sandpaper]]"), "count"],
  lead_ms: [later("Warning before the window closes"), "lead"],
};

/** A doc as texts in the fields of the form. */
export function formOf(doc, units) {
  const { name = "", cls, notes = "", sheet_date: date = "", hardener_span_pm: span, ribbon, variants = [], coat_gates: coats = [] } = doc;
  const figures = Object.entries(FIGURES).map(([key, [, kind]]) => [key, isSaid(doc[key]) ? KINDS[kind].write(doc[key], units) : ""]);
  return {
    ...{ name, cls, notes, sheet_date: date, own: doc.typical ? "" : "yes", ...Object.fromEntries(figures), ...ratioTexts(doc) },
    ...{ span_from: span ? KINDS.pm.write(span[0]) : "", span_to: span ? KINDS.pm.write(span[1]) : "" },
    ...{ ribbon_mm: ribbon ? String(ribbon.mm) : "", ribbon_disc: ribbon ? String(ribbon.disc_mm) : "" },
    gates: lines(doc.gates, units),
    variants: variants.map((one) => ({ id: one.id, name: one.name, ...bandTexts(one.band_dc, units), gates: lines(one.gates, units) })),
    coat_gates: coats.map((one) => ({ coat: String(one.coat), gates: lines(one.gates, units) })),
  };
}

/** The doc that a form says, over what the doc before it held, and what is wrong: {doc, faults: [{field, words, late}]}. */
export function docOf(form, base, units) {
  const doc = { ...base, name: form.name.trim(), cls: form.cls, typical: Boolean(base.typical) && form.own !== "yes", gates: {} };
  const faults = [];
  const at = (field, work) => attempt(faults, field, work);
  const put = (key, value) => (value === undefined ? delete doc[key] : (doc[key] = value));
  at("name", () => (doc.name ? text(t("The name"), doc.name, 1, 200) : missing(t("The name is empty. Nothing was saved."))));
  put("ratio", at("ratio", () => ratioOf(form, base, doc.cls)));
  put("hardener_span_pm", at("span", () => spanOf(form)));
  at("ratio", () => checkFigures({ cls: doc.cls, ratio: doc.ratio, hardener_span_pm: doc.hardener_span_pm }));
  put("ribbon", at("ribbon", () => ribbonOf(form, base)));
  for (const key of Object.keys(FIGURES)) put(key, at(key, () => figureOf(key, form, doc, units)));
  at("highest_dc", () => checkSheet({ ...doc, name: "x", gates: {} }));
  for (const key of ["notes", "sheet_date"]) put(key, at(key, () => wordsOf(key, form)));
  for (const [gate, rows] of Object.entries(form.gates)) at(`gates.${gate}`, () => (doc.gates[gate] = points(rows, gate, units)));
  at("gates.recoat_by", () => checkFigures({ cls: doc.cls, gates: doc.gates }));
  put("variants", listOf(form.variants, (one, nth) => at(`variants.${nth}`, () => variantOf(one, base, units))));
  put("coat_gates", listOf(form.coat_gates, (one, nth) => at(`coat_gates.${nth}`, () => coatOf(one, base, units))));
  form.variants.forEach((one, nth) => at(`variants.${nth}`, () => checkLaid(doc, one, one.id, 1)));
  form.coat_gates.forEach((one, nth) => at(`coat_gates.${nth}`, () => checkLaid(doc, one, "", Number(one.coat))));
  if (!faults.length && !Object.keys(doc.gates).length) at("gates", () => missing(t("The sheet has no times. Nothing was saved.")));
  if (!faults.length) at("", () => checkDoc("sheet_written", doc));
  return { doc, faults };
}

/** Every figure of a doc in words: [[what, words], ...], to lay two docs side by side; `classes` are the names of classes. */
export function figuresOf(doc, units, classes) {
  const form = formOf(doc, units);
  const one = Object.entries(FIGURES).map(([key, [what, kind]]) => [t(what), form[key] && kind !== "lead" ? `${form[key]} ${KINDS[kind].sign(units)}`.trim() : form[key]]);
  const gates = (all, said = (what) => what) => Object.keys(all ?? {}).map((gate) => [said(t(GATE_NAMES[gate])), all[gate].map((point) => pointWords(point, units)).join(", ")]);
  const variants = (doc.variants ?? []).flatMap((each) => [[t("Variant {name}", { name: each.name }), bandWords(each.band_dc, units)], ...gates(each.gates, (what) => t("{variant}: {what}", { variant: each.name, what }))]);
  const coats = (doc.coat_gates ?? []).flatMap((each) => gates(each.gates, (what) => t("From coat {coat}: {what}", { coat: each.coat, what })));
  const rest = [[t("Hardener"), form.span_from && fromTo(form.span_from, form.span_to)], [t("Ribbon [[of hardener]]"), form.ribbon_mm && t("{mm} mm on a disc of {disc} mm", { mm: form.ribbon_mm, disc: form.ribbon_disc })]];
  const head = [[t("Name"), doc.name], [t("Class [[of product]]"), t(classes[doc.cls])], [t("Ratio [[of a mix]]"), doc.ratio ? ratioWords(doc.ratio) : ""], ...gates(doc.gates)];
  return [...head, ...variants, ...coats, ...one, ...rest, [t("Notes"), form.notes], [t("Date of the sheet"), form.sheet_date]].filter(([, words]) => words);
}

function attempt(faults, field, work) {
  try {
    return work();
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    if (!faults.some((fault) => fault.field === field)) faults.push({ field, words: why.message, late: why instanceof Missing });
    return undefined;
  }
}

function missing(words) {
  throw new Missing(words);
}

const isSaid = (value) => value !== undefined && value !== null;

/** What was made of the rows that say something; undefined where none does. */
function listOf(rows, make) {
  const made = rows.map((one, nth) => (isBlank(one) ? undefined : make(one, nth))).filter(isSaid);
  return made.length ? made : undefined;
}

const isBlank = ({ name = "", coat = "", from = "", to = "", gates }) => ![name, coat, from, to].join("").trim() && !Object.keys(gates).length;

function ratioTexts({ cls, ratio }) {
  const [putty, hardener] = ratio?.parts ?? [];
  const percent = PUTTY.includes(cls) && (!ratio || (ratio.by === "weight" && ratio.parts.length === 2 && Number.isInteger((1000 * hardener) / putty)));
  return { ratio_by: percent ? "percent" : ratio?.by || "volume", ratio: ratio && !percent ? ratio.parts.join(":") : "", hardener: ratio && percent ? decimal(String((100 * hardener) / putty)) : "" };
}

function ratioOf(form, base, cls) {
  const typed = form.ratio_by === "percent" ? form.hardener : form.ratio;
  if (!typed.trim()) return undefined;
  const before = base?.ratio && ratioTexts(base);
  if (before && ["ratio_by", "ratio", "hardener"].every((key) => before[key] === form[key])) return base.ratio;
  const pm = form.ratio_by === "percent" && whole(signed(t("The hardener"), typed, { "": 1, "%": 1 }) * 10);
  const parts = form.ratio_by !== "percent" ? readRatio(typed) : pm % 10 ? [1000, pm] : [100, pm / 10];
  const { names, ...more } = base?.ratio ?? {};
  const ratio = { ...more, by: form.ratio_by === "percent" ? "weight" : form.ratio_by, parts, ...(names?.length === parts.length ? { names } : {}) };
  checkFigures({ cls, ratio: { ...ratio, by: "volume" } });
  return ratio;
}

function spanOf({ ratio_by: by, span_from: from, span_to: to }) {
  if (by !== "percent" || !(from + to).trim()) return undefined;
  if (!from.trim() || !to.trim()) missing(t("The hardener is from and to. Nothing was saved."));
  const span = [from, to].map((one) => KINDS.pm.read(t("The hardener"), one));
  checkFigures({ cls: "clear", hardener_span_pm: span });
  return span;
}

function ribbonOf({ ribbon_mm: mm, ribbon_disc: disc }, base) {
  if (!(mm + disc).trim()) return undefined;
  if (!mm.trim() || !disc.trim()) missing(t("The ribbon needs its length and the disc of putty. Nothing was saved."));
  const ribbon = { ...base?.ribbon, mm: KINDS.mm.read(t("The length of the ribbon"), mm), disc_mm: KINDS.mm.read(t("The disc of putty"), disc) };
  checkFigures({ cls: "clear", ribbon });
  return ribbon;
}

function figureOf(key, form, { cls, ratio }, units) {
  if (!form[key]?.trim()) return undefined;
  const [what, kind] = FIGURES[key];
  const value = KINDS[kind].read(t(what), form[key], units);
  if (kind === "temp") checkSheet({ name: "x", cls, gates: {}, [key]: value });
  else checkFigures({ cls: "clear", ratio: kind === "weights" ? ratio : undefined, [key]: value });
  return value;
}

function wordsOf(key, form) {
  if (!form[key].trim()) return undefined;
  checkFigures({ cls: "clear", [key]: form[key].trim() });
  return form[key].trim();
}

/** The lines of one gate as points by rising temperature. */
function points(rows, gate, { temp: unit }) {
  for (const { temp, time } of rows) {
    if (!temp.trim()) missing(t('"{time}" needs its temperature. Nothing was saved.', { time: time.trim() }));
    if (!time.trim()) missing(t("At {temp} degrees there is no time yet. Nothing was saved.", { temp: temp.trim() }));
  }
  const read = rows.map(({ temp, time, unit: each }) => [readTemp(t("The temperature"), temp, unit), ...readTime(time, each)]);
  read.sort((a, b) => a[0] - b[0]);
  const twice = read.find((point, at) => point[0] === read[at + 1]?.[0]);
  if (twice) throw new Refused(t("There are two lines for {temp}. Nothing was saved.", { temp: tempWords(twice[0], unit) }));
  checkSheet({ name: "x", cls: "clear", gates: { [gate]: read } });
  return read;
}

const allPoints = (gates, units) => Object.fromEntries(Object.entries(gates).map(([gate, rows]) => [gate, named(t(GATE_NAMES[gate]), () => points(rows, gate, units))]));

function variantOf({ id, name, from, to, gates }, base, units) {
  const { gates: had, band_dc: band, ...more } = base?.variants?.find((one) => one.id === id) ?? {};
  if (!name.trim()) missing(t("The variant has no name. Nothing was saved."));
  const variant = { ...more, id, name: name.trim() };
  if ((from + to).trim()) {
    if (!from.trim() || !to.trim()) missing(t("A variant's temperatures are two: from and to. Nothing was saved."));
    variant.band_dc = [from, to].map((one) => readTemp(t("The variant's temperature"), one, units.temp));
    if (variant.band_dc[0] > variant.band_dc[1]) throw new Refused(t("The variant's first temperature is warmer than its second. Nothing was saved."));
  }
  if (Object.keys(gates).length) variant.gates = allPoints(gates, units);
  checkDoc("sheet_written", { name: "x", cls: "clear", gates: {}, variants: [variant] });
  return variant;
}

function coatOf({ coat, gates }, base, units) {
  if (!coat.trim()) missing(t("From which coat on do these times hold. Nothing was saved."));
  const nth = KINDS.count.read(t("The number of coats"), coat);
  if (!Object.keys(gates).length) missing(t("There are no times from coat {coat} on. Nothing was saved.", { coat: nth }));
  const { gates: had, ...more } = base?.coat_gates?.find((one) => one.coat === nth) ?? {};
  const one = { ...more, coat: nth, gates: allPoints(gates, units) };
  checkDoc("sheet_written", { name: "x", cls: "clear", gates: {}, coat_gates: [one] });
  return one;
}

/** What a film would keep, with a variant's or a later coat's own times among the common ones. */
const checkLaid = (doc, { gates }, variant, coat) => Object.keys(gates).length && checkFigures({ cls: "clear", gates: laidSheet({ ...doc, name: "x" }, variant, coat).gates });

function named(what, work) {
  try {
    return work();
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    throw new why.constructor(t("{what}: {why}", { what, why: why.message }));
  }
}

function bandTexts(band, units) {
  const [from, to] = band ? band.map((dc) => tempText(dc, units.temp)) : ["", ""];
  return { from, to };
}

const lines = (gates = {}, units) => Object.fromEntries(Object.entries(gates).map(([gate, all]) => [gate, all.map(([dc, ...times]) => ({ temp: tempText(dc, units.temp), ...timeText(...times) }))]));

const fromTo = (from, to) => t("{from} to {to} [[figures with their signs]]", { from, to });

const bandWords = (band, units) => (band ? fromTo(...band.map((dc) => tempWords(dc, units.temp))) : t("any temperature"));

const ratioWords = ({ parts, by }) => (by === "weight" ? t("{parts} by weight", { parts: parts.join(" : ") }) : t("{parts} by volume", { parts: parts.join(" : ") }));

const pointWords = ([dc, ...times], units) => `${tempWords(dc, units.temp)} ${timeWords(...times)}`;
