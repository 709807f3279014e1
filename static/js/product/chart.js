// The curve of one time of a sheet over the temperature: drawn into the svg of the shell, and said in words.
import { TooCold, closing, limits, opening, waitMs } from "../core/clock/cure.js";
import { t } from "../core/base/translate.js";
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS } from "../core/base/units.js";
import { span } from "../core/base/words.js";
import { tempWords } from "./parse.js";

const [LEFT, RIGHT, TOP, BOTTOM, ROOM] = [56, 312, 8, 212, 26];
const HOTTEST = 400; // the chart is from 0 to 40 °C
const FINE = 5;
const LEAST_SPAN = 4; // from the shortest to the longest time of the chart, at the least
const MOST_TICKS = 6;
const TICKS = [
  [SECOND_MS, (seconds) => t("{seconds} s", { seconds }), 1, 10],
  [MINUTE_MS, (minutes) => t("{minutes} min", { minutes }), 1, 2, 5, 10, 20, 30],
  [HOUR_MS, (hours) => t("{hours} h", { hours }), 1, 2, 4, 8],
  [DAY_MS, (days) => t("{days} d", { days }), 1, 2, 4, 7, 14, 30, 90, 365],
];

/** What closes is drawn from the shorter time, what opens from the longer one. */
export const isClosing = (gate) => ["pot", "recoat_by"].includes(gate);

/** How long a time of the sheet is at a steady temperature; null where the film stands still. */
export function waitAt(sheet, gate, dc) {
  try {
    return waitMs((isClosing(gate) ? closing : opening)(sheet, gate), dc);
  } catch (why) {
    if (why instanceof TooCold) return null;
    throw why;
  }
}

export function curveWords(sheet, gate, dc, { temp: unit }) {
  const ms = waitAt(sheet, gate, dc);
  const temp = tempWords(dc, unit);
  const [coldest, hottest] = limits(sheet, gate);
  if (ms === null)
    return t("At {temp}: stands still, the sheet's lowest is {lowest}", {
      temp,
      lowest: tempWords(coldest, unit),
    });
  const hot = !isClosing(gate) && dc > (hottest ?? Infinity);
  const more = hot && t("no faster than at the sheet's highest, {highest}", { highest: tempWords(hottest, unit) });
  const sentence = t("At {temp}: {span}", { temp, span: isClosing(gate) ? atLeast(ms) : span(ms) });
  return [sentence, isBeyond(sheet, gate, dc) && t("beyond the sheet"), more].filter(Boolean).join(", ");
}

/** Draw a gate; with no gate the chart is empty. */
export function draw(svg, sheet, gate, dc, units) {
  const part = (name) => svg.querySelector(`[data-curve=${name}]`);
  const chart = gate ? measured(sheet, gate) : null;
  const [first, last] = gate ? [sheet.gates[gate][0][0], sheet.gates[gate].at(-1)[0]] : [0, 0];
  path(part("inside"), chart?.line(Math.max(first, 0), Math.min(last, HOTTEST)));
  path(part("cold"), chart?.line(chart.coldest, Math.min(first, HOTTEST)));
  path(part("hot"), chart?.line(Math.max(last, chart.coldest), HOTTEST));
  path(part("marks"), chart?.marks());
  path(part("now"), dc >= 0 && dc <= HOTTEST ? `M ${x(dc)} ${TOP} V ${BOTTOM}` : "");
  drawStill(part, chart?.coldest ?? 0);
  label(
    part("cold-words"),
    chart && first > chart.coldest
      ? [x(chart.coldest) + 6, chart.y(waitAt(sheet, gate, chart.coldest)) - 8, t("beyond the sheet")]
      : null,
  );
  label(
    part("hot-words"),
    chart && last < HOTTEST ? [RIGHT, chart.y(waitAt(sheet, gate, HOTTEST)) + 18, t("beyond the sheet")] : null,
  );
  drawTicks(svg, chart, units);
}

const x = (dc) => LEFT + (dc / HOTTEST) * (RIGHT - LEFT);
const isBeyond = (sheet, gate, dc) => dc < sheet.gates[gate][0][0] || dc > sheet.gates[gate].at(-1)[0];

/** A time that closes, in words that never say more than there is. */
function atLeast(ms) {
  const step = ms >= DAY_MS ? HOUR_MS : MINUTE_MS;
  return span(Math.floor(ms / step) * step);
}

/** The chart of a gate: its times from the least to the most on a log axis, its line and its marks. */
function measured(sheet, gate) {
  const lowest = isClosing(gate) ? 0 : Math.max(0, limits(sheet, gate)[0] ?? 0);
  const coldest = Math.min(lowest, HOTTEST);
  const shown = sheet.gates[gate].filter(([dc]) => dc >= 0 && dc <= HOTTEST);
  const ends = lowest > HOTTEST ? [MINUTE_MS] : [waitAt(sheet, gate, coldest), waitAt(sheet, gate, HOTTEST)];
  const all = [...ends, ...shown.flatMap(([, ...times]) => times)];
  const middle = Math.sqrt(Math.min(...all) * Math.max(...all));
  const low = Math.min(...all, middle / Math.sqrt(LEAST_SPAN));
  const high = Math.max(...all, middle * Math.sqrt(LEAST_SPAN));
  const y = (ms) => BOTTOM - ROOM - (Math.log(ms / low) / Math.log(high / low)) * (BOTTOM - TOP - 2 * ROOM);
  const place = (dc) => `${x(dc).toFixed(1)} ${y(waitAt(sheet, gate, dc)).toFixed(1)}`;
  return {
    ...{ coldest, low, high, y },
    line: (from, to) =>
      Math.max(from, lowest) < to ? `M ${between(Math.max(from, lowest), to, shown).map(place).join(" L ")}` : "",
    marks: () => shown.map((point) => mark(point, isClosing(gate), y)).join(" "),
  };
}

function between(from, to, shown) {
  const fine = Array.from({ length: Math.floor((to - from) / FINE) + 1 }, (_, nth) => from + nth * FINE);
  return [...new Set([...fine, ...shown.map(([dc]) => dc).filter((dc) => dc > from && dc < to), to])].sort(
    (a, b) => a - b,
  );
}

/** A square where the sheet's own time is, and a bar over the whole span that it gives. */
function mark([dc, shorter, longer], closes, y) {
  const [at, used] = [x(dc), y(closes ? shorter : longer)];
  return `M ${at - 5} ${used - 5} h 10 v 10 h -10 Z M ${at - 1} ${y(longer)} H ${at + 1} V ${y(shorter)} H ${at - 1} Z`;
}

function drawStill(part, coldest) {
  part("still").setAttribute("width", Math.max(0, x(coldest) - LEFT));
  const wide = coldest >= 30;
  part("still-words").textContent = wide ? t("stands still, too cold") : "";
  part("still-words").setAttribute(
    "transform",
    `translate(${(LEFT + x(coldest)) / 2 + 5} ${(TOP + BOTTOM) / 2}) rotate(-90)`,
  );
}

function drawTicks(svg, chart, { temp: unit }) {
  let ticks = chart
    ? TICKS.flatMap(([ms, words, ...sizes]) => sizes.map((size) => [ms * size, words(size)])).filter(
        ([ms]) => ms >= chart.low * 0.8 && ms <= chart.high * 1.25,
      )
    : [];
  while (ticks.length > MOST_TICKS) ticks = ticks.filter((tick, nth) => nth % 2 === 0);
  const lines = [0, 100, 200, 300, 400].map((dc) => `M ${x(dc)} ${TOP} V ${BOTTOM}`);
  path(
    svg.querySelector("[data-curve=grid]"),
    [...lines, ...ticks.map(([ms]) => `M ${LEFT} ${chart.y(ms)} H ${RIGHT}`)].join(" "),
  );
  for (const [nth, node] of svg.querySelectorAll("[data-tick=time]").entries())
    label(node, ticks[nth] ? [LEFT - 6, chart.y(ticks[nth][0]) + 5, ticks[nth][1]] : null);
  for (const [nth, node] of svg.querySelectorAll("[data-tick=temp]").entries())
    label(node, [x(nth * 100), BOTTOM + 20, unit === "f" ? `${32 + 18 * nth} °F` : `${10 * nth} °C`]);
}

const path = (node, d = "") => node.setAttribute("d", d);

function label(node, placed) {
  const [left, top, words] = placed ?? [0, 0, ""];
  if (node.textContent !== words) node.textContent = words;
  node.setAttribute("x", left);
  node.setAttribute("y", top);
}
