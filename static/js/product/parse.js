// What a person types for one figure, read forgivingly; and figures written as they are typed.  Pure: no page, no
// clock.
import { Refused } from "../core/base/check.js";
import { dcToF, fToDc, gToOz, milToUm, ozToG, umToMil } from "../core/base/measures.js";
import { decimal, t, tn } from "../core/base/translate.js";
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS, whole } from "../core/base/units.js";

const UNIT_MS = { s: SECOND_MS, min: MINUTE_MS, h: HOUR_MS, days: DAY_MS, weeks: 7 * DAY_MS };
// In all languages at once: a phone may read one and its painter type another.
const UNIT_NAMES = {
  s: /^(s|secs?|seconds?|sek|sekunden?|segs?|segundos?)$/,
  min: /^(m|mins?|minutes?|minuten?|minutos?|')$/,
  h: /^(h|hrs?|hours?|std|stunden?|horas?)$/,
  days: /^(d|days?|tage?n?|d[ií]as?)$/,
  weeks: /^(w|wks?|weeks?|wo|wochen?|sem|semanas?)$/,
};
const FROM_TO = /\s*(?:[-–—−…]|\.{2,}|(?<![\p{L}\d])(?:to|until|bis|a|hasta)(?![\p{L}\d]))\s*/u;
const HALVES = { "½": ".5", "¼": ".25", "¾": ".75" };
const AMOUNT = /(\d+(?:\.\d+)?|\.\d+)\s*([a-zí']*)\.?\s*/gy;
const NUMBER = /^([-−+]?)(\d+(?:[.,]\d+)?|[.,]\d+)\s*([^\d\s.,][^\d]*)?$/;
const BETWEEN = /[:+/]|\b(?:to|zu|a)\b/;
const MOST_SAME = 100; // "45-60 min", but "30 min to 4 h"

/** A figure that is not there yet: said when the person wants to save, not while typing. */
export class Missing extends Refused {}

/** "10-15 min", "1.5 h", "30 min to 4 h", "1 h 30 min": [shorter, longer] ms; a bare number is in the unit given. */
export function readTime(text, unit = "min") {
  const ends = plainly(text)
    .split(FROM_TO)
    .map((end) => amounts(end));
  if (ends.length > 2 || ends.some((end) => !end)) throw unread(t("The time"), text, t("10-15 min, 2 h or 1-7 days"));
  const named = ends.map((end) => end.find((one) => one.unit)?.unit);
  const [shorter, longer = shorter] = ends.map((end, at) => sumMs(end, named[at] ?? named[1 - at] ?? unit));
  return [shorter, longer];
}

/** The unit that a typed time says itself, or "". */
export function unitIn(text) {
  const ends = plainly(text)
    .split(FROM_TO)
    .map((end) => amounts(end));
  return ends.at(-1)?.at(-1)?.unit ?? "";
}

/** A span of time as it would be typed: {time, unit}. */
export function timeText(shorter, longer) {
  const units = [unitOf(shorter), unitOf(longer)].sort((a, b) => UNIT_MS[a] - UNIT_MS[b]);
  const [least] = units;
  if (longer / UNIT_MS[least] > MOST_SAME && units[0] !== units[1]) {
    return {
      time: t("{shorter} to {longer} [[times in a field that is read again: to, bis, a]]", {
        shorter: amountWords(shorter),
        longer: amountWords(longer),
      }),
      unit: unitOf(longer) === "s" ? "min" : unitOf(longer),
    };
  }
  const [low, high] = [shorter, longer].map((ms) => decimal(String(ms / UNIT_MS[least])));
  const time = low === high ? low : `${low}-${high}`;
  return least === "s" ? { time: `${time} s`, unit: "min" } : { time, unit: least };
}

export function timeWords(shorter, longer) {
  const { time, unit } = timeText(shorter, longer);
  return /[a-z]/.test(time) ? time : timed(time, unit);
}

/** "4:1:1", "2 : 1 : 0.5", "4 + 1": whole parts in the same ratio. */
export function readRatio(text) {
  const bare = text
    .trim()
    .toLowerCase()
    .replace(/\b(parts?|teile?n?|partes?)\b/g, "");
  const typed = BETWEEN.test(bare) ? bare.split(BETWEEN) : bare.split(/[,;\s-]+/);
  const parts = typed.map((part) => Number(part.trim().replace(/,(?=\d{1,2}$)/, ".") || NaN));
  if (parts.length < 2 || parts.some((part) => !(part >= 0 && part <= 100_000)))
    throw unread(t("The ratio"), text, "4:1:1");
  if (parts.every(Number.isInteger)) return parts;
  const large = parts.map((part) => whole(part * 1000));
  const common = large.reduce(divisor);
  return large.map((part) => part / common);
}

/** A temperature in tenths of a degree C; "68 F" is read so whatever the shop's unit. */
export function readTemp(what, text, unit) {
  const { value, sign } = readNumber(what, text);
  const own = /^°?\s*([cf])$/.exec(sign)?.[1];
  if (sign && !own && !/^(°|degrees?|grad|grados?)$/.test(sign)) throw unread(what, text, unit === "f" ? "68" : "20");
  return (own || unit) === "f" ? fToDc(value) : whole(value * 10);
}

export const tempText = (dc, unit) => decimal(String(unit === "f" ? Math.round(dcToF(dc) * 10) / 10 : dc / 10));
export const tempWords = (dc, unit) => `${tempText(dc, unit).replace("-", "−")} ${unit === "f" ? "°F" : "°C"}`;

/** Kinds of figures: how each is read and written in the units of the shop. */
export const KINDS = {
  temp: {
    read: (what, text, units) => readTemp(what, text, units.temp),
    write: (dc, units) => tempText(dc, units.temp),
    sign: (units) => (units.temp === "f" ? "°F" : "°C"),
  },
  pm: {
    read: (what, text) => whole(signed(what, text, { "": 1, "%": 1 }) * 10),
    write: (pm) => decimal(String(pm / 10)),
    sign: () => "%",
  },
  film: {
    read: (what, text, { film }) =>
      whole(
        signed(what, text, {
          "": film === "mil" ? milToUm(1) : 1,
          µm: 1,
          μm: 1,
          um: 1,
          mil: milToUm(1),
          mils: milToUm(1),
        }),
      ),
    write: (um, { film }) => decimal(String(film === "mil" ? Math.round(umToMil(um) * 100) / 100 : um)),
    sign: ({ film }) => (film === "mil" ? "mil" : "µm"),
  },
  mm: {
    read: (what, text) => whole(signed(what, text, { "": 1, mm: 1, cm: 10, in: 25.4 })),
    write: String,
    sign: () => "mm",
  },
  tip: {
    read: (what, text) => whole(signed(what, text, { "": 1, mm: 1 }) * 1000),
    write: (um) => decimal(String(um / 1000)),
    sign: () => "mm",
  },
  count: { read: readCount, write: String, sign: () => "" },
  lead: { read: (what, text) => readTime(text)[1], write: (ms) => timeWords(ms, ms), sign: () => "min" },
  weights: {
    read: (what, text, { weight }) =>
      apart(text.trim()).map((one) => whole(signed(what, one, { "": weight === "oz" ? ozToG(1) : 1 }))),
    write: (all, { weight }) =>
      all.map((g) => decimal(String(weight === "oz" ? Math.round(gToOz(g) * 100) / 100 : g))).join(" "),
    sign: ({ weight }) => (weight === "oz" ? "oz" : "g"),
  },
};

/** A number with what stands behind it, by the factors of the units it may stand in. */
export function signed(what, text, factors) {
  const { value, sign } = readNumber(what, text);
  if (!Object.hasOwn(factors, sign)) throw unread(what, text, decimal("12.5"));
  return value * factors[sign];
}

function readNumber(what, text) {
  const [, minus, size, sign = ""] = NUMBER.exec(text.trim().toLowerCase()) ?? [];
  if (!size) throw unread(what, text, decimal("12.5"));
  const value = Number(size.replace(",", "."));
  return { value: minus && minus !== "+" && value ? -value : value, sign: sign.trim() };
}

function readCount(what, text) {
  const count = Number(text.trim().replace(/^p\s*/i, ""));
  if (!Number.isSafeInteger(count)) throw unread(what, text, "2");
  return count;
}

const unread = (what, text, like) =>
  new Refused(
    t('{what} could not be read (you typed "{typed}"). Write it like {like}. Nothing was saved.', {
      what,
      typed: text.trim(),
      like,
    }),
  );

/** A time, or two with a dash between, and its unit. */
const timed = (time, unit) =>
  unit === "days" ? tn("{time} day", "{time} days", time === "1" ? 1 : 2, { time }) : `${time} ${unit}`;

/** Figures beside each other.  A comma stands between them, but it is a decimal sign before one or two digits where
 *  the reader writes it so, or where something else stands between the figures. */
function apart(text) {
  const isSign = decimal(".") === "," || /\d[;:/\s]+\d/.test(text);
  return (isSign ? text.replace(/(\d),(\d{1,2})(?!\d)/g, "$1.$2") : text).split(/[;:/,\s]+/);
}

function plainly(text) {
  const halves = text.toLowerCase().replace(/(\d*)\s*([½¼¾])/g, (all, whole, half) => `${whole || 0}${HALVES[half]}`);
  const points = halves
    .replace(/(\d),(\d{1,2})(?!\d)/g, "$1.$2")
    .replace(/[~≈]|\b(about|approx|approximately|ca|circa|etwa|aprox|aproximadamente)\b\.?/g, "");
  return points.replace(/(\d+):([0-5]\d)(\s*h)?/g, "$1 h $2 min").trim();
}

/** One end of a span as amounts with their units, or null where something else was typed. */
function amounts(end) {
  const matches = [...end.trim().matchAll(AMOUNT)];
  if (!matches.length || matches.map(([all]) => all).join("") !== end.trim()) return null;
  const read = matches.map(([, size, word]) => ({ size: Number(size), word, unit: unitNamed(word) }));
  return read.some((one) => one.word && !one.unit) || read.slice(0, -1).some((one) => !one.unit) ? null : read;
}

/** After hours a bare number is minutes, as in "1 h 30". */
const sumMs = (end, unit) =>
  whole(end.reduce((ms, one, at) => ms + one.size * UNIT_MS[one.unit ?? (at ? "min" : unit)], 0));

const unitNamed = (word) => Object.keys(UNIT_NAMES).find((unit) => UNIT_NAMES[unit].test(word));
const unitOf = (ms) => ["days", "h", "min"].find((unit) => ms % UNIT_MS[unit] === 0) ?? "s";
const divisor = (a, b) => (b ? divisor(b, a % b) : a);

function amountWords(ms) {
  const unit = unitOf(ms);
  const size = ms / UNIT_MS[unit];
  return timed(decimal(String(size)), unit);
}
