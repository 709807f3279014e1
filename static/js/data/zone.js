// What this phone keeps of the shop's zone: the browser's own tables take longer to open than the floor to paint.
import { now, QUARTER_MS, zoneOf } from "./clock.js";
import * as shop from "./state.js";

const DAY_MS = 86_400_000;
const YEAR_MS = 365 * DAY_MS;

/** Kept anew where there is another zone, or less than a year of it left. */
export function keep() {
  const { zone, zoned } = shop.meta;
  if (zone && (zoned?.name !== zone || zoned.until - now() < YEAR_MS)) shop.note({ zoned: spansOf(zone, now()) });
}

/** A zone's minutes east from two months ago to a year ahead: {name, spans: [[from_ms, minutes], ...], until}. */
export function spansOf(name, nowMs) {
  const east = zoneOf(name);
  const start = Math.floor(nowMs / DAY_MS - 60) * DAY_MS;
  const until = start + 430 * DAY_MS;
  const spans = [[start, east(start)]];
  for (let day = start + DAY_MS; day <= until; day += DAY_MS) {
    if (east(day) !== spans.at(-1)[1]) spans.push([changeIn(east, day - DAY_MS, day), east(day)]);
  }
  return { name, spans, until };
}

/** The quarter of an hour between two moments from which the second's minutes hold. */
function changeIn(east, before, after) {
  let [low, high] = [before, after];
  while (high - low > QUARTER_MS) {
    const middle = low + Math.floor((high - low) / 2 / QUARTER_MS) * QUARTER_MS;
    if (east(middle) === east(after)) high = middle;
    else low = middle;
  }
  return high;
}
