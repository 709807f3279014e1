// Twin of timers/core/ahead.py: the rules and their sources are explained there.

import * as cure from './cure.js';
import { gateOf } from './film.js';
import { DAY_MS, MINUTE_MS } from './units.js';
import { degrees, opens, shuts } from './words.js';

export const EVENING_MIN = 21 * 60;
export const MORNING_MIN = 6 * 60;

export function warnings(sheet, nowMs, trace, zone, unit = 'c') {
  const openers = ['flash', 'sand'].filter((gate) => Object.hasOwn(sheet.gates, gate));
  const still = openers.map((gate) => standingStill(sheet, gate, nowMs, trace, zone, unit)).filter(Boolean);
  return [...still.slice(0, 1), ...shutting(sheet, nowMs, trace, zone)];
}

function standingStill(sheet, opener, nowMs, trace, zone, unit) {
  const end = cure.opensAt(cure.opening(sheet, opener), nowMs, trace);
  const what = opener === 'sand' ? 'Sand' : 'The next coat';
  const lowest = sheet.lowest_dc ?? null;
  const [cold] = ahead(nowMs, end, trace).filter((step) => lowest !== null && step[1] < lowest);
  if (cold) {
    const since = cold[0] <= nowMs ? 'now' : `from ${shuts(cold[0], nowMs, zone)}`;
    const then = end === null ? '' : ` ${what} from ${opens(end, nowMs, zone)}.`;
    return `It stands still ${since}: below ${degrees(lowest, unit)}, ${degrees(cold[1], unit)} is expected.${then}`;
  }
  return end === null ? `It stands still: the air is too damp for ${what.toLowerCase()}.` : '';
}

function shutting(sheet, nowMs, trace, zone) {
  const gate = gateOf({ id: '', sheet, laid_at: nowMs, ask: {}, ready: [] }, 'flash', trace);
  const end = gate?.shuts_at ?? null;
  if (end === null) return [];
  const when = shuts(end, nowMs, zone);
  if (gate.opens_at !== null && end <= gate.opens_at) {
    return [`Its window shuts ${when}, before the next coat can go on. Sand first then.`];
  }
  const local = end + zone(end) * MINUTE_MS;
  const minute = Math.floor((local - Math.floor(local / DAY_MS) * DAY_MS) / MINUTE_MS);
  const night = minute >= EVENING_MIN || minute < MORNING_MIN;
  return night && end - nowMs < 2 * DAY_MS ? [`Its window shuts ${when}, in the night.`] : [];
}

function ahead(nowMs, end, trace) {
  const felt = trace.filter((step, at) => at + 1 === trace.length || trace[at + 1][0] > nowMs);
  return felt.filter((step) => end === null || step[0] < end);
}
