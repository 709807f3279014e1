// Twin of timers/core/clock/air.py: the rules and their sources are explained there.

import { Refused } from '../base/check.js';
import { within } from '../base/measures.js';
import { inOrder, standing } from '../fold/order.js';
import * as heat from './heat.js';
import { t } from '../base/translate.js';
import { DAY_MS, HOUR_MS } from '../base/units.js';

export const ASSUMED_DC = 200;
export const STALE_MS = 2 * HOUR_MS;
export const FINE_MS = 14 * DAY_MS;
export const LONG_MS = 90 * DAY_MS;
export const PRESSURE_HPA = 1013.25;
export const DRIEST_PCT = 1;

export function fold(acts) {
  const fine = fineFrom(acts);
  const all = standing(needed(acts));
  const reads = all.filter((act) => act.kind === 'air_read').map((act) => [act.at, act.temp_dc, act.rh_pm ?? null]);
  const readings = [...byDay(reads.filter(([at]) => at < fine)), ...reads.filter(([at]) => at >= fine)];
  const expected = new Map(all.filter((act) => act.kind === 'air_expected').map((act) => [act.for_ms, act.temp_dc]));
  return { readings, expected: [...expected].sort((a, b) => a[0] - b[0]) };
}

function byDay(reads) {
  const days = new Map();
  for (const [at, ...read] of reads) {
    const day = Math.floor(at / DAY_MS) * DAY_MS;
    if (!days.has(day)) days.set(day, []);
    days.get(day).push(read);
  }
  const all = [...days];
  return all.flatMap(([day, own], nth) => [...(all[nth - 1]?.[1] ?? []), ...own].map((read) => [day, ...read]));
}

export function needed(acts) {
  const fine = fineFrom(acts);
  const reads = inOrder(acts).filter((act) => act.kind === 'air_read');
  const longFrom = Math.floor((fine - LONG_MS + FINE_MS) / DAY_MS) * DAY_MS;
  const kept = ofEachDay(reads.filter(({ at }) => at >= longFrom && at < fine));
  const isNeeded = { air_read: ({ at, id }) => at >= fine || kept.has(id), air_expected: (act) => act.for_ms >= fine };
  return acts.filter((act) => !Object.hasOwn(isNeeded, act.kind) || isNeeded[act.kind](act));
}

export function trace(air, surfaces) {
  const reads = readsOf(air);
  const moments = [...reads.keys()];
  const steps = moments.map((from, at) => [from, ...sides([...reads.get(from), ...(reads.get(moments[at + 1]) ?? [])])]);
  const all = [[0, ...sides(reads.get(moments[0]) ?? [[ASSUMED_DC, null]])], ...steps];
  for (const surface of surfaces ?? []) heat.ruleOver(all, surface);
  return all.some((step) => step[3] !== null) ? all : all.map((step) => step.slice(0, 3));
}

export const at = (steps, nowMs) => heat.at(steps, nowMs);

export const lastRead = (air, nowMs) => air.readings.findLast((read) => read[0] <= nowMs) ?? null;

export function stale(air, nowMs) {
  const read = lastRead(air, nowMs);
  return read === null || nowMs - read[0] > STALE_MS;
}

export function saturationPa(tempC) {
  within(t('The temperature'), tempC, -45, 60, '°C');
  return 611.2 * Math.exp((17.62 * tempC) / (243.12 + tempC));
}

export function dewPointC(tempC, rhPct) {
  checkDamp(tempC, rhPct);
  const grown = Math.log(Math.max(rhPct, DRIEST_PCT) / 100) + (17.62 * tempC) / (243.12 + tempC);
  return (243.12 * grown) / (17.62 - grown);
}

export function vpdPa(tempC, rhPct) {
  checkDamp(tempC, rhPct);
  return (saturationPa(tempC) * (100 - rhPct)) / 100;
}

export function rhOfWetBulb(tempC, wetC) {
  within(t('The dry thermometer'), tempC, 0, 60, '°C');
  within(t('The wet thermometer'), wetC, 0, 60, '°C');
  if (wetC > tempC) {
    throw new Refused(t('The wet thermometer cannot read more than the dry one. Nothing was saved.'));
  }
  const taken = 100 * 0.00066 * (1 + 0.00115 * wetC) * PRESSURE_HPA * (tempC - wetC);
  return Math.max(0, (100 * (saturationPa(wetC) - taken)) / saturationPa(tempC));
}

function checkDamp(tempC, rhPct) {
  within(t('The temperature'), tempC, -45, 60, '°C');
  within(t('The humidity'), rhPct, 0, 100, '%');
}

const fineFrom = (acts) => acts.reduce((last, act) => (act.kind === 'air_read' && act.at > last ? act.at : last), FINE_MS) - FINE_MS;

function ofEachDay(reads) {
  const most = new Map();
  for (const { at, id, temp_dc: temp, rh_pm: damp = null } of reads) {
    for (const [mark, value] of [-temp, temp, damp].entries()) {
      const key = Math.floor(at / DAY_MS) * 3 + mark;
      if (value !== null && !(most.get(key)?.[0] >= value)) most.set(key, [value, id]);
    }
  }
  return new Set([...most.values()].map(([, id]) => id));
}

function readsOf(air) {
  const reads = new Map();
  let damp = null;
  for (const [from, temp, humidity = null] of air.readings) {
    damp = humidity ?? damp;
    if (!reads.has(from)) reads.set(from, []);
    reads.get(from).push([temp, damp]);
  }
  for (const [from, temp] of ramps(air)) reads.set(from, [[temp, damp]]);
  return reads;
}

function ramps({ readings, expected = [] }) {
  const steps = [];
  let last = readings.at(-1) ?? null;
  for (const [moment, temp] of expected.filter(([one]) => last === null || one > last[0])) {
    const [begin, from] = last ?? [moment, temp];
    for (let at = begin + HOUR_MS; at < moment; at += HOUR_MS) {
      steps.push([at, from + Math.floor(((temp - from) * (at - begin)) / (moment - begin))]);
    }
    steps.push([moment, temp]);
    last = [moment, temp];
  }
  return steps;
}

function sides(reads) {
  const temps = reads.map(([temp]) => temp);
  return [Math.min(...temps), Math.max(...temps), dampest(reads.map(([, damp]) => damp))];
}

const { dampest } = heat;
