// Twin of timers/core/clock/forecast.py: the rules and their sources are explained there.

import * as cure from './cure.js';
import { gateOf } from './film.js';
import { t } from '../base/translate.js';
import { DAY_MS, MINUTE_MS } from '../base/units.js';
import { degrees, opens, shuts } from '../base/words.js';

export const EVENING_MIN = 21 * 60;
export const MORNING_MIN = 6 * 60;

export function warnings(sheet, nowMs, trace, zone, unit = 'c') {
  const openers = ['flash', 'sand'].filter((gate) => Object.hasOwn(sheet.gates, gate));
  const still = openers.map((gate) => standingStill(sheet, gate, nowMs, trace, zone, unit)).filter(Boolean);
  return [...still.slice(0, 1), ...shutting(sheet, nowMs, trace, zone)];
}

function standingStill(sheet, opener, nowMs, trace, zone, unit) {
  const end = cure.opensAt(cure.opening(sheet, opener), nowMs, trace);
  const [lowest] = cure.limits(sheet, opener);
  const isCold = (step) => lowest !== null && cure.sideDc(step, cure.COLD) < lowest;
  const [cold] = ahead(nowMs, end, trace).filter(isCold);
  if (cold) {
    const said = tooCold(cold, lowest, nowMs, zone, unit);
    return end === null ? said : `${said} ${then(opener, opens(end, nowMs, zone))}`;
  }
  if (end !== null) return '';
  if (opener === 'sand') return t('It stands still: the air is too damp for sand. [[for sanding]]');
  return t('It stands still: the air is too damp for the next coat.');
}

function tooCold([from, low], lowestDc, nowMs, zone, unit) {
  const temps = { lowest: degrees(lowestDc, unit), temp: degrees(low, unit) };
  if (from <= nowMs) return t('It stands still now: below {lowest}, {temp} is expected.', temps);
  const time = shuts(from, nowMs, zone);
  return t('It stands still from {time}: below {lowest}, {temp} is expected.', { time, ...temps });
}

const then = (opener, time) =>
  opener === 'sand' ? t('Sand from {time}. [[do it]]', { time }) : t('The next coat from {time}.', { time });

function shutting(sheet, nowMs, trace, zone) {
  const gate = gateOf({ id: '', sheet, laid_at: nowMs, ask: {}, ready: [] }, 'flash', trace);
  const end = gate?.shuts_at ?? null;
  if (end === null) return [];
  const time = shuts(end, nowMs, zone);
  if (gate.opens_at !== null && end <= gate.opens_at) {
    return [t('Its window shuts {time}, before the next coat can go on. Sand first then.', { time })];
  }
  const local = end + zone.minutesEast(end) * MINUTE_MS;
  const minute = Math.floor((local - Math.floor(local / DAY_MS) * DAY_MS) / MINUTE_MS);
  const night = minute >= EVENING_MIN || minute < MORNING_MIN;
  return night && end - nowMs < 2 * DAY_MS ? [t('Its window shuts {time}, in the night.', { time })] : [];
}

function ahead(nowMs, end, trace) {
  const felt = trace.filter((step, at) => at + 1 === trace.length || trace[at + 1][0] > nowMs);
  return felt.filter((step) => end === null || step[0] < end);
}
