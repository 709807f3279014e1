// Twin of timers/core/base/measures.py: the rules and their sources are explained there.

import { EXACT, beyond, noNumber, number, plain } from './check.js';
import { later } from './translate.js';
import { whole } from './units.js';

export const ML_PER_FL_OZ = 29.5735295625;
export const G_PER_OZ = 28.349523125;
export const UM_PER_MIL = 25.4;

export function within(what, value, least, most, unit = '') {
  if (typeof value !== 'number' || !(Math.abs(value) <= EXACT)) throw noNumber(what);
  if (value < least || value > most) throw beyond(what, ...[least, most, value].map((one) => plain(tenths(one), 10)), unit);
}

export const tenths = (value) => whole(value * 10);

export const hundredths = (value) => whole(value * 100);

export function flOzToMl(flOz) {
  within(later('The volume'), flOz, 0, 1_000_000, 'fl oz');
  return flOz * ML_PER_FL_OZ;
}

export function mlToFlOz(ml) {
  within(later('The volume'), ml, 0, 30_000_000, 'ml');
  return ml / ML_PER_FL_OZ;
}

export function ozToG(oz) {
  within(later('The weight'), oz, 0, 1_000_000, 'oz');
  return oz * G_PER_OZ;
}

export function gToOz(g) {
  within(later('The weight'), g, 0, 30_000_000, 'g');
  return g / G_PER_OZ;
}

export function milToUm(mil) {
  within(later('The film'), mil, 0, 1_000, 'mil');
  return mil * UM_PER_MIL;
}

export function umToMil(um) {
  within(later('The film'), um, 0, 30_000, 'um');
  return um / UM_PER_MIL;
}

export function fToDc(tempF) {
  within(later('The temperature'), tempF, -100, 500, '°F');
  return tenths(((tempF - 32) * 5) / 9);
}

export function dcToF(tempDc) {
  number(later('The temperature'), tempDc, -800, 3000, 10, '°C');
  return (tempDc * 9) / 50 + 32;
}
