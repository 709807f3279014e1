// Twin of timers/core/clock/cure.py: the rules and their sources are explained there.

import { number } from '../base/check.js';
import { firstAfter } from '../fold/order.js';
import { t } from '../base/translate.js';
import { FAR_MS, clamp, down, up, whole } from '../base/units.js';

export const COLD = 1;
export const HOT = 2;
export const LEAST_PM = 250;
export const MOST_PM = 20_000;
const EDGE = 1e-12;
export const DOUBLE_DC = 100;

export class TooCold extends Error {}

export const waitMs = (sheet, tempDc) => whole(wait(sheet, tempDc));

export function opensAt(sheet, startMs, trace) {
  const at = reached(sheet, startMs, trace, COLD);
  return at === null ? null : up(at);
}

export function closesAt(sheet, startMs, trace) {
  const at = reached(sheet, startMs, trace, HOT);
  return at === null ? null : down(at);
}

export function opening(sheet, gate) {
  const [lowest, highest] = limits(sheet, gate);
  const humid = gate === 'flash' && (sheet.sheet_rh_pm ?? null) !== null;
  return {
    ...(humid && { rh_pm: sheet.sheet_rh_pm }),
    points: sheet.gates[gate].map(([temp, , longer]) => [temp, longer]),
    lowest_dc: lowest,
    highest_dc: highest,
    double_dc: sheet.double_dc || DOUBLE_DC,
  };
}

export function limits(sheet, gate) {
  const lowest = sheet.cure_lowest_dc ?? sheet.lowest_dc ?? null;
  const applied = sheet.highest_dc ?? null;
  const warmest = Object.hasOwn(sheet.gates, gate) ? (sheet.gates[gate].at(-1)?.[0] ?? applied) : applied;
  return [lowest, sheet.cure_highest_dc ?? (applied === null ? null : Math.max(applied, warmest))];
}

export function closing(sheet, gate) {
  const points = sheet.gates[gate].map(([temp, shorter]) => [temp, shorter]);
  return { points, double_dc: sheet.double_dc || DOUBLE_DC };
}

export function beyond(sheet, startMs, endMs, trace, side) {
  const first = sheet.points[0][0];
  const last = sheet.points.at(-1)[0];
  for (const [begin, , step] of stepsFrom(startMs, trace)) {
    if (begin > endMs) return false;
    if (sideDc(step, side) < first || sideDc(step, side) > last) return true;
  }
  return false;
}

export const sideDc = (step, side) => (side === COLD ? step[1] : step[2]);

export function humidityFactorPm(sheetRhPm, rhPm) {
  number(t("The sheet's humidity"), sheetRhPm, 0, 950, 10, '%');
  number(t('The humidity'), rhPm, 0, 1000, 10, '%');
  return longerPm(sheetRhPm, rhPm);
}

function longerPm(sheetRhPm, rhPm) {
  const told = 1000 - sheetRhPm;
  const now = 1000 - rhPm;
  if (told * 1000 > now * MOST_PM) return null;
  return clamp(Math.ceil((told * 1000) / now), LEAST_PM, MOST_PM);
}

function reached(sheet, startMs, trace, side) {
  let gained = 0;
  const waits = new Map();
  for (const [begin, end, step] of stepsFrom(startMs, trace)) {
    const temp = sideDc(step, side);
    const key = `${temp} ${step[3]}`;
    if (!waits.has(key)) waits.set(key, waitIn(sheet, temp, step[3] ?? null));
    const ms = waits.get(key);
    if (ms === null) continue;
    if (end === null || gained + (end - begin) / ms >= 1 - EDGE) return begin + (1 - gained) * ms;
    gained += (end - begin) / ms;
  }
  return null;
}

function waitIn(sheet, temp, damp) {
  const factor = tooCold(sheet, temp) ? null : dampFactor(sheet, damp);
  return factor === null ? null : wait(sheet, temp) * factor;
}

function dampFactor({ rh_pm: sheetRhPm = null }, damp) {
  if (sheetRhPm === null || damp === null) return 1;
  const factor = longerPm(sheetRhPm, damp);
  return factor === null ? null : factor / 1000;
}

function* stepsFrom(startMs, trace) {
  for (let at = Math.max(0, firstAfter(trace, startMs) - 1); at < trace.length; at += 1) {
    const begin = at === 0 ? startMs : Math.max(startMs, trace[at][0]);
    const end = at + 1 < trace.length ? trace[at + 1][0] : null;
    if (end === null || end > begin) yield [begin, end, trace[at]];
  }
}

const tooCold = (sheet, tempDc) => tempDc < (sheet.lowest_dc ?? -Infinity);

function wait(sheet, tempDc) {
  if (tooCold(sheet, tempDc)) throw new TooCold(`${tempDc} is below ${sheet.lowest_dc} tenths of a degree C`);
  const temp = Math.min(tempDc, sheet.highest_dc ?? Infinity);
  return Math.min(Math.max(onCurve(sheet.points, temp, sheet.double_dc || DOUBLE_DC), 1), FAR_MS);
}

function onCurve(points, temp, doubleDc) {
  const first = points[0];
  const last = points.at(-1);
  if (temp <= first[0]) return first[1] * 2 ** ((first[0] - temp) / doubleDc);
  if (temp >= last[0]) return last[1] * 2 ** ((last[0] - temp) / doubleDc);
  const after = points.findIndex((point) => point[0] > temp);
  const [colder, slower] = points[after - 1];
  const [warmer, faster] = points[after];
  return slower * (faster / slower) ** ((temp - colder) / (warmer - colder));
}
