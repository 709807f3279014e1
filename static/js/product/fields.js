// What the fields of a sheet's form say, read one by one: ratio, ribbon, times, variants, later coats.  Pure: no page,
// no clock.
import { Refused } from "../core/base/check.js";
import { checkDoc, checkSheet } from "../core/acts/product_schema.js";
import { checkFigures } from "../core/acts/figures.js";
import { FORM, PUTTY } from "../core/acts/schema.js";
import { decimal, later, t } from "../core/base/translate.js";
import { whole } from "../core/base/units.js";
import { KINDS, Missing, readRatio, readTemp, readTime, signed, tempWords } from "./parse.js";

export const GATE_NAMES = {
  pot: later("Cup lasts [[a time]]"),
  flash: later("Next coat after"),
  sand: later("Dry to sand after"),
  recoat_by: later("Last moment to recoat"),
  recoat_again: later("May be recoated again after"),
  handle: later("Handle after [[a time, then the panel may be carried]]"),
  cure: later("Cured after"),
  induction: later("Let stand before use"),
  clear_air: later("Air clear after spraying"),
};
export const GATE_UNITS = {
  pot: "min",
  flash: "min",
  sand: "h",
  recoat_by: "h",
  recoat_again: "h",
  handle: "h",
  cure: "days",
  induction: "min",
  clear_air: "min",
};
const KIND_OF = { "°C": "temp", "%": "pm", µm: "film", min: "lead", mm: "tip", g: "weights", "": "count" };
export const USE_WORDS = {
  ...{ filler: later("filler"), glaze: later("glazing putty"), fibre: later("fibre filler") },
  ...{ spot: later("spot priming bare metal"), surfacer: later("surfacer"), sealer: later("sealer") },
  ...{ base: later("base"), effect: later("effect coat"), clear: later("clear [[lacquer]]") },
  ...{ topcoat: later("single-stage"), promoter: later("adhesion promoter"), seam: later("seam sealer") },
};
export const HARDENER_WORDS = {
  "": later("as is usual for its class"),
  ...{ none: later("nothing: no hardener"), isocyanate: later("isocyanates") },
  ...{ amine: later("an amine [[of epoxy]]"), peroxide: later("an organic peroxide") },
};
/** Figures of a variant that the form asks for; what else it holds is kept. */
export const OWN = [
  ...["lowest_dc", "highest_dc", "cure_lowest_dc", "cure_highest_dc", "solids_pm", "film_um", "coats", "tip_um"],
  "vocs_g_l",
];
/** Figures that stand in one field each, as the rules have them: [words, kind]. */
export const FIGURES = Object.fromEntries(
  FORM.map(({ key, label, unit, of: [each] }) => [key, [label, KIND_OF[each?.unit ?? unit]]]),
);

export function missing(words) {
  throw new Missing(words);
}

export function ratioTexts({ cls, ratio }) {
  const [putty, hardener] = ratio?.parts ?? [];
  const percent =
    PUTTY.includes(cls) &&
    (!ratio || (ratio.by === "weight" && ratio.parts.length === 2 && Number.isInteger((1000 * hardener) / putty)));
  return {
    ratio_by: percent ? "percent" : ratio?.by || "volume",
    ratio: ratio && !percent ? ratio.parts.join(":") : "",
    hardener: ratio && percent ? decimal(String((100 * hardener) / putty)) : "",
  };
}

export function ratioOf(form, base, cls) {
  const typed = form.ratio_by === "percent" ? form.hardener : form.ratio;
  if (!typed.trim()) return undefined;
  const before = base?.ratio && ratioTexts(base);
  if (before && ["ratio_by", "ratio", "hardener"].every((key) => before[key] === form[key])) return base.ratio;
  const pm = form.ratio_by === "percent" && whole(signed(t("The hardener"), typed, { "": 1, "%": 1 }) * 10);
  const parts = form.ratio_by !== "percent" ? readRatio(typed) : shareParts(pm);
  const { names, ...more } = base?.ratio ?? {};
  const ratio = {
    ...more,
    by: form.ratio_by === "percent" ? "weight" : form.ratio_by,
    parts,
    ...(names?.length === parts.length ? { names } : {}),
  };
  checkFigures({ cls, ratio: { ...ratio, by: "volume" } });
  return ratio;
}

/** How a variant is mixed where it is otherwise than its product, as it is typed: "3 %", "4:1". */
export function ownRatioText(cls, own) {
  const { ratio, hardener } = own ? ratioTexts({ cls, ratio: own }) : { ratio: "" };
  return hardener ? `${hardener} %` : ratio;
}

function ownRatioOf(typed, { cls, by }, had) {
  if (!typed.trim()) return undefined;
  if (had && ownRatioText(cls, had) === typed) return had;
  const isShare = by === "percent" && !/[:+/]/.test(typed);
  const pm = isShare && whole(signed(t("The hardener"), typed, { "": 1, "%": 1 }) * 10);
  const parts = isShare ? shareParts(pm) : readRatio(typed);
  const ratio = { by: by === "volume" ? "volume" : "weight", parts };
  checkFigures({ cls, ratio });
  return ratio;
}

const shareParts = (pm) => (pm % 10 ? [1000, pm] : [100, pm / 10]);

export function spanOf({ ratio_by: by, span_from: from, span_to: to }) {
  if (by !== "percent" || !(from + to).trim()) return undefined;
  if (!from.trim() || !to.trim()) missing(t("The hardener is from and to. Nothing was saved."));
  const span = [from, to].map((one) => KINDS.pm.read(t("The hardener"), one));
  checkFigures({ cls: "clear", hardener_span_pm: span });
  return span;
}

export function ribbonOf({ ribbon_mm: mm, ribbon_disc: disc }, base) {
  if (!(mm + disc).trim()) return undefined;
  if (!mm.trim() || !disc.trim()) missing(t("The ribbon needs its length and the disc of putty. Nothing was saved."));
  const ribbon = {
    ...base?.ribbon,
    mm: KINDS.mm.read(t("The length of the ribbon"), mm),
    disc_mm: KINDS.mm.read(t("The disc of putty"), disc),
  };
  checkFigures({ cls: "clear", ribbon });
  return ribbon;
}

export function figureOf(key, form, { cls, ratio }, units) {
  if (!form[key]?.trim()) return undefined;
  const [what, kind] = FIGURES[key];
  const value = KINDS[kind].read(t(what), form[key], units);
  if (kind === "temp") checkSheet({ name: "x", cls, gates: {}, [key]: value });
  else checkFigures({ cls: "clear", ratio: kind === "weights" ? ratio : undefined, [key]: value });
  return value;
}

export function wordsOf(key, form) {
  if (!form[key].trim()) return undefined;
  checkFigures({ cls: "clear", [key]: form[key].trim() });
  return form[key].trim();
}

/** The lines of one gate as points by rising temperature. */
export function points(rows, gate, { temp: unit }) {
  for (const { temp, time } of rows) {
    if (!temp.trim()) missing(t('"{time}" needs its temperature. Nothing was saved.', { time: time.trim() }));
    if (!time.trim()) missing(t("At {temp} degrees there is no time yet. Nothing was saved.", { temp: temp.trim() }));
  }
  const read = rows.map(({ temp, time, unit: each }) => [
    readTemp(t("The temperature"), temp, unit),
    ...readTime(time, each),
  ]);
  read.sort((a, b) => a[0] - b[0]);
  const twice = read.find((point, at) => point[0] === read[at + 1]?.[0]);
  if (twice)
    throw new Refused(t("There are two lines for {temp}. Nothing was saved.", { temp: tempWords(twice[0], unit) }));
  checkSheet({ name: "x", cls: "clear", gates: { [gate]: read } });
  return read;
}

const allPoints = (gates, units) =>
  Object.fromEntries(
    Object.entries(gates).map(([gate, rows]) => [gate, named(t(GATE_NAMES[gate]), () => points(rows, gate, units))]),
  );

/** A variant's own figures as texts. */
export const ownTexts = (variant, units) => ({
  ...Object.fromEntries(
    OWN.map((key) => [key, variant[key] == null ? "" : KINDS[FIGURES[key][1]].write(variant[key], units)]),
  ),
  use: variant.use ?? "",
  hardener: variant.hardener ?? "",
});

/** What is typed of a variant's own figures. */
function ownFigures(typed, units) {
  const read = OWN.filter((key) => typed[key]?.trim()).map((key) => {
    const [what, kind] = FIGURES[key];
    return [key, KINDS[kind].read(t(what), typed[key], units)];
  });
  const chosen = ["use", "hardener"].filter((key) => typed[key]).map((key) => [key, typed[key]]);
  return Object.fromEntries([...read, ...chosen]);
}

export function variantOf({ id, name, from, to, gates, ratio: mixed = "", ...typed }, base, units, product) {
  const { gates: had, band_dc: band, ratio, ...others } = base?.variants?.find((one) => one.id === id) ?? {};
  const kept = Object.entries(others).filter(([key]) => ![...OWN, "use", "hardener"].includes(key));
  const more = { ...Object.fromEntries(kept), ...ownFigures(typed, units) };
  if (!name.trim()) missing(t("The variant has no name. Nothing was saved."));
  const variant = { ...more, id, name: name.trim() };
  if ((from + to).trim()) {
    if (!from.trim() || !to.trim()) missing(t("A variant's temperatures are two: from and to. Nothing was saved."));
    variant.band_dc = [from, to].map((one) => readTemp(t("The variant's temperature"), one, units.temp));
    if (variant.band_dc[0] > variant.band_dc[1])
      throw new Refused(t("The variant's first temperature is warmer than its second. Nothing was saved."));
  }
  if (Object.keys(gates).length) variant.gates = allPoints(gates, units);
  const own = ownRatioOf(mixed, product, ratio);
  if (own) variant.ratio = own;
  checkDoc("sheet_written", { name: "x", cls: "clear", gates: {}, variants: [variant] });
  return variant;
}

export function coatOf({ coat, gates }, base, units) {
  if (!coat.trim()) missing(t("From which coat on do these times hold. Nothing was saved."));
  const nth = KINDS.count.read(t("The number of coats"), coat);
  if (!Object.keys(gates).length)
    missing(t("There are no times from coat {coat} on. Nothing was saved.", { coat: nth }));
  const { gates: had, ...more } = base?.coat_gates?.find((one) => one.coat === nth) ?? {};
  const one = { ...more, coat: nth, gates: allPoints(gates, units) };
  checkDoc("sheet_written", { name: "x", cls: "clear", gates: {}, coat_gates: [one] });
  return one;
}

function named(what, work) {
  try {
    return work();
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    throw new why.constructor(t("{what}: {why}", { what, why: why.message }));
  }
}
