// What the mix screen reckons: parts, how much is needed, how many cups, solvent in the air.
import { Refused } from "../core/base/check.js";
import { coverage, filmOf, roles } from "../core/bench/coating.js";
import { batches } from "../core/bench/batches.js";
import { at } from "../core/clock/air.js";
import { HOT, closesAt, closing, sideDc } from "../core/clock/cure.js";
import {
  discRibbonMm,
  fromPart,
  marks,
  percentHardenerG,
  ratioDriftPm,
  split,
  tenthGrams,
} from "../core/bench/mixing.js";
import { hardenerPm } from "../core/fold/shelf.js";
import { decimal, later, t, tn } from "../core/base/translate.js";
import { MINUTE_MS } from "../core/base/units.js";
import { vocGPerL } from "../core/bench/voc.js";
import { span } from "../core/base/words.js";
import * as units from "../ui/units.js";

/** What a rule answers, or its words when it refuses. */
export function tried(work) {
  try {
    return { is: work() };
  } catch (why) {
    if (why instanceof Refused) return { why: why.message.replace(` ${t("Nothing was saved.")}`, "") };
    throw why;
  }
}

const PART_WORDS = {
  paint: later("Paint [[a part of a mix]]"),
  hardener: later("Hardener"),
  reducer: later("Reducer"),
  other: later("Fourth part [[of a mix]]"),
};
const ASKS = {
  paint: later("How much paint there is"),
  hardener: later("How much hardener there is"),
  reducer: later("How much reducer there is"),
  other: later("How much of the fourth part there is"),
};

const rolesOf = ({ cls, ratio }) => roles(cls, ratio.parts.length);

export const partNames = (doc) =>
  doc.ratio.names ?? (doc.in_can ? [t("Spray can")] : null) ?? rolesOf(doc).map((role) => t(PART_WORDS[role]));

/** The question for what there is of one part. */
export function asksOf(doc, part) {
  const at = Math.min(part, doc.ratio.parts.length - 1);
  return doc.ratio.names ? t("How much {part} there is", { part: doc.ratio.names[at] }) : t(ASKS[rolesOf(doc)[at]]);
}

/** Amounts in pouring order, in ml or tenths of a gram: from a total, from what there is of one part, or by
 *  hardener. */
export function amountsOf({ ratio }, { mode, total, part, have }) {
  const unit = ratio.by === "weight" ? 10 : 1;
  return mode === "part"
    ? fromPart(have * unit, Math.min(part, ratio.parts.length - 1), ratio.parts)
    : split(total * unit, ratio.parts);
}

export const puttyAmounts = (g, hardenerPm) => [10 * g, Math.round(10 * percentHardenerG(g, hardenerPm))];

/** Rows for the parts: what, how much, and where the mark or the scale then stands. */
export function partRows(doc, names, amounts, onScale) {
  const weighed = doc.ratio.by === "weight";
  const upTo = onScale && !weighed ? tenthGrams(amounts, doc.densities_g_l) : marks(amounts);
  const much = (value) => (weighed ? units.weight(value / 10) : units.volume(value));
  const stands = (value) =>
    weighed || onScale
      ? t("scale at {weight} [[what the scale shows]]", { weight: units.weight(value / 10) })
      : t("fill to {volume} [[a mark of the cup]]", { volume: units.volume(value) });
  return amounts.map((amount, at) => ({
    key: String(at),
    what: names[at],
    amount: much(amount),
    to: stands(upTo[at]),
  }));
}

export function driftWords({ ratio }, amounts) {
  const drift = Math.max(...ratioDriftPm(amounts, ratio.parts).map(Math.abs));
  const sentence = ratioWords(ratio);
  return drift
    ? t("{ratio}. Rounding moves the ratio by {drift} %.", { ratio: sentence, drift: decimal(String(drift / 10)) })
    : t("{ratio}. Exact as poured.", { ratio: sentence });
}

/** Which clock a putty goes by, where another share of hardener is in it than any of its variants has. */
export function clockWords(doc, share, variantId) {
  const name = doc.variants?.find((one) => one.id === variantId)?.name;
  return name && share !== hardenerPm(doc) ? t("The clock is the one of: {variant}.", { variant: name }) : "";
}

const ratioWords = ({ parts, by }) =>
  by === "weight"
    ? t("{parts} by weight", { parts: parts.join(" : ") })
    : t("{parts} by volume", { parts: parts.join(" : ") });

export const ribbonWords = ({ ribbon }, disc) =>
  ribbon
    ? t(
        "On a disc of {disc} mm: a ribbon of {ribbon} mm. The sheet says {its_ribbon} mm on {its_disc} mm, equally thick.",
        {
          disc,
          ribbon: discRibbonMm(disc, ribbon.disc_mm, ribbon.mm),
          its_ribbon: ribbon.mm,
          its_disc: ribbon.disc_mm,
        },
      )
    : "";

/** How much ready to spray, and what its film comes to. */
const needOf = (doc, { area, coats, lands, loss }) => coverage(doc, area / 10, coats, lands, loss);

export const needMl = (doc, mix) => needOf(doc, mix).ml;

export function needWords(doc, mix) {
  const { is: need, why } = tried(() => needOf(doc, mix));
  if (why) return why;
  const { film_um: dry, typical } = filmOf(doc);
  const values = {
    volume: units.volume(need.ml),
    solids: decimal(String(need.ready_pm / 10)),
    dry: units.film(dry),
    wet: units.film(need.wet_um),
  };
  const sentence = t(
    "About {volume} ready to spray: {solids} % solids as sprayed, {dry} dry ({wet} wet) a coat, {lands} % lands, {loss} % stays behind.",
    { ...values, lands: mix.lands, loss: mix.loss },
  );
  return typical ? `${sentence} ${t("Typical, check your sheet.")}` : sentence;
}

/** Whether one cup lasts if it is mixed now, in words. */
export function cupsWords(doc, total, coats, sprayMin, now, trace) {
  const { is, why } = tried(() => batches(doc, total, coats, sprayMin * MINUTE_MS, now, trace));
  if (why) return why;
  if (is === null) return "";
  const each = is.cups.map(({ ml }) => units.volume(ml)).join(", ");
  const many = { count: is.cups.length, each };
  const work = {
    time: span(is.takes_ms - is.induction_ms),
    pot: span(is.pot_ms),
    temp: units.degrees(hotDc(now, trace)),
  };
  return [
    is.one ? t("One cup does.") : t("Mix {count} cups, one after the other: {each}.", many),
    is.induction_ms && t("Each cup stands {time} before use.", { time: span(is.induction_ms) }),
    tn(
      "One coat takes {time}; the cup lasts {pot} at {temp}.",
      "{n} coats with flashes take {time}; the cup lasts {pot} at {temp}.",
      coats,
      work,
    ),
  ]
    .filter(Boolean)
    .join(" ");
}

/** The hotter side of the shop now. */
const hotDc = (now, trace) => sideDc(at(trace, now), HOT);

export function potEnds(doc, now, trace) {
  return doc.gates.pot ? closesAt(closing(doc, "pot"), now, trace) : null;
}

/** Solvent of the mix as it is sprayed, less water, beside the limit of the person's place. */
export function vocWords(doc, amounts, limit) {
  if (!doc.vocs_g_l || doc.ratio.by !== "volume") return "";
  const parts = amounts.map((ml, at) => ({
    ml,
    voc_g_per_l: doc.vocs_g_l[at],
    water_g_per_l: doc.waters_g_l?.[at] ?? 0,
  }));
  const { is, why } = tried(() => vocGPerL(parts));
  if (why) return why;
  const sentence = t("{grams} g of solvent per litre as sprayed, less water.", { grams: Math.ceil(is) });
  if (!limit) return `${sentence} ${t("Set the limit of your place beside it.")}`;
  return `${sentence} ${Math.ceil(is) <= limit ? t("Your limit is {limit}: inside it.", { limit }) : t("Your limit is {limit}: above it.", { limit })}`;
}
