// Twin of timers/core/clock/damp.py: the rules and their sources are explained there.

import { dewPointC, vpdPa } from './air.js';
import { number, plain } from '../base/check.js';
import { LEAST_PM, MOST_PM } from './cure.js';
import { decimal, later, t } from '../base/translate.js';
import { up } from '../base/units.js';
import { degrees, warmer } from '../base/words.js';

export const MARGIN_DC = 30;
export const LIFT_C = 0.05;
export const EDGE = 1e-9;

const OUR_AIR = [later('The temperature'), later('The humidity')];
const SHEETS_AIR = [later("The sheet's temperature"), later("The sheet's humidity")];
const TOO_COLD = {
  air: later('The air is at {temp}: this product needs {least} or more.'),
  panel: later('The panel is at {temp}: this product needs {least} or more.'),
};
const TOO_HOT = {
  air: later('The air is at {temp}: this product takes at most {most}.'),
  panel: later('The panel is at {temp}: this product takes at most {most}.'),
};

export function dewPointDc(tempDc, rhPm) {
  checkAir(OUR_AIR, tempDc, rhPm, 1000);
  return Math.min(up(10 * (dewPointC(tempDc / 10, rhPm / 10) + LIFT_C)), tempDc);
}

export function marginDc(surfaceDc, tempDc, rhPm) {
  number(later("The panel's temperature"), surfaceDc, -400, 1500, 10, '°C');
  return surfaceDc - dewPointDc(tempDc, rhPm);
}

export function coatWarnings(sheet, tempDc, rhPm = null, surfaceDc = null, unit = 'c') {
  checkReadings(tempDc, rhPm, surfaceDc);
  const places = surfaceDc === null ? [['air', tempDc]] : [['panel', surfaceDc], ['air', tempDc]];
  const said = places.flatMap(([place, temp]) => tooColdOrHot(sheet, place, temp, unit));
  if (rhPm === null) return said;
  const highest = sheet.highest_rh_pm ?? null;
  if (highest !== null && rhPm > highest) {
    const [now, most] = [rhPm, highest].map((one) => decimal(plain(one, 10)));
    said.push(t('The humidity is {now} %: this product takes at most {most} %.', { now, most }));
  }
  return [...said, ...nearDew(tempDc, rhPm, surfaceDc, unit)];
}

export function dampFactor(sheetTempDc, sheetRhPm, tempDc, rhPm) {
  checkAir(SHEETS_AIR, sheetTempDc, sheetRhPm, 950);
  checkAir(OUR_AIR, tempDc, rhPm, 1000);
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
  checkAir(OUR_AIR, tempDc, rhPm ?? 0, 1000);
  if (surfaceDc !== null) number(later("The panel's temperature"), surfaceDc, -400, 1500, 10, '°C');
}

function checkAir(names, tempDc, rhPm, dampestPm) {
  number(names[0], tempDc, -400, 600, 10, '°C');
  number(names[1], rhPm, 0, dampestPm, 10, '%');
}

function tooColdOrHot({ lowest_dc: lowest = null, highest_dc: highest = null }, place, tempDc, unit) {
  const temp = degrees(tempDc, unit);
  if (lowest !== null && tempDc < lowest) return [t(TOO_COLD[place], { temp, least: degrees(lowest, unit) })];
  if (highest !== null && tempDc > highest) return [t(TOO_HOT[place], { temp, most: degrees(highest, unit) })];
  return [];
}

function nearDew(tempDc, rhPm, surfaceDc, unit) {
  const surface = surfaceDc ?? tempDc;
  const margin = marginDc(surface, tempDc, rhPm);
  if (margin >= MARGIN_DC) return [];
  const dry = { temp: degrees(surface - margin + MARGIN_DC, unit), much: warmer(MARGIN_DC, unit) };
  const needs = t('Wait until it is at {temp}, {much} above the dew point.', dry);
  const told = { temp: degrees(surface, unit), little: warmer(margin, unit) };
  return [`${wet(told, surfaceDc !== null, margin <= 0)} ${needs}`];
}

function wet(told, known, settles) {
  if (settles && known) return t('The panel is at {temp}: water settles on it.', told);
  if (settles) return t('The panel, if as warm as the air, is at {temp}: water settles on it.', told);
  if (known) return t('The panel is at {temp}, only {little} above the dew point.', told);
  return t('The panel, if as warm as the air, is at {temp}, only {little} above the dew point.', told);
}
