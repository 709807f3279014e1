// Twin of timers/core/damp.py: the rules and their sources are explained there.

import { dewPointC, vpdPa } from './air.js';
import { number, plain } from './check.js';
import { LEAST_PM, MOST_PM } from './cure.js';
import { up } from './units.js';
import { degrees, warmer } from './words.js';

export const MARGIN_DC = 30;
export const LIFT_C = 0.05;
export const EDGE = 1e-9;

export function dewPointDc(tempDc, rhPm) {
  checkAir('The', tempDc, rhPm, 1000);
  return Math.min(up(10 * (dewPointC(tempDc / 10, rhPm / 10) + LIFT_C)), tempDc);
}

export function marginDc(surfaceDc, tempDc, rhPm) {
  number("The panel's temperature", surfaceDc, -400, 1500, 10, '°C');
  return surfaceDc - dewPointDc(tempDc, rhPm);
}

export function coatWarnings(sheet, tempDc, rhPm = null, surfaceDc = null, unit = 'c') {
  checkReadings(tempDc, rhPm, surfaceDc);
  const places = surfaceDc === null ? [['air', tempDc]] : [['panel', surfaceDc], ['air', tempDc]];
  const said = places.flatMap(([place, temp]) => tooColdOrHot(sheet, place, temp, unit));
  if (rhPm === null) return said;
  const highest = sheet.highest_rh_pm ?? null;
  if (highest !== null && rhPm > highest) {
    said.push(`The humidity is ${plain(rhPm, 10)} %: this product takes at most ${plain(highest, 10)} %.`);
  }
  return [...said, ...nearDew(tempDc, rhPm, surfaceDc, unit)];
}

export function dampFactor(sheetTempDc, sheetRhPm, tempDc, rhPm) {
  checkAir("The sheet's", sheetTempDc, sheetRhPm, 950);
  checkAir('The', tempDc, rhPm, 1000);
  const told = vpdPa(sheetTempDc / 10, sheetRhPm / 10);
  const now = vpdPa(tempDc / 10, rhPm / 10);
  if (told * 1000 > now * MOST_PM * (1 + EDGE)) return null;
  return Math.max(told / now, LEAST_PM / 1000);
}

export function dampFactorPm(sheetTempDc, sheetRhPm, tempDc, rhPm) {
  const factor = dampFactor(sheetTempDc, sheetRhPm, tempDc, rhPm);
  return factor === null ? null : up(1000 * factor);
}

function checkReadings(tempDc, rhPm, surfaceDc) {
  checkAir('The', tempDc, rhPm ?? 0, 1000);
  if (surfaceDc !== null) number("The panel's temperature", surfaceDc, -400, 1500, 10, '°C');
}

function checkAir(whose, tempDc, rhPm, dampestPm) {
  number(`${whose} temperature`, tempDc, -400, 600, 10, '°C');
  number(`${whose} humidity`, rhPm, 0, dampestPm, 10, '%');
}

function tooColdOrHot({ lowest_dc: lowest = null, highest_dc: highest = null }, place, tempDc, unit) {
  const is = `The ${place} is at ${degrees(tempDc, unit)}`;
  if (lowest !== null && tempDc < lowest) return [`${is}: this product needs ${degrees(lowest, unit)} or more.`];
  if (highest !== null && tempDc > highest) return [`${is}: this product takes at most ${degrees(highest, unit)}.`];
  return [];
}

function nearDew(tempDc, rhPm, surfaceDc, unit) {
  const known = surfaceDc !== null;
  const panel = known ? 'The panel' : 'The panel, if as warm as the air,';
  const surface = known ? surfaceDc : tempDc;
  const margin = marginDc(surface, tempDc, rhPm);
  const is = `${panel} is at ${degrees(surface, unit)}`;
  const needs = `Wait until it is at ${degrees(surface - margin + MARGIN_DC, unit)}, ${warmer(MARGIN_DC, unit)} above the dew point.`;
  if (margin <= 0) return [`${is}: water settles on it. ${needs}`];
  if (margin < MARGIN_DC) return [`${is}, only ${warmer(margin, unit)} above the dew point. ${needs}`];
  return [];
}
