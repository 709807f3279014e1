// Twin of timers/core/measures.py: the rules and their sources are explained there.

import { EXACT, Refused, number, plain } from './check.js';
import { whole } from './units.js';

export const ML_PER_FL_OZ = 29.5735295625;
export const G_PER_OZ = 28.349523125;
export const UM_PER_MIL = 25.4;

export function within(what, value, least, most, unit = '') {
  if (typeof value !== 'number' || !(Math.abs(value) <= EXACT)) {
    throw new Refused(`${what} is missing or not a number. Nothing was saved.`);
  }
  if (value >= least && value <= most) return;
  const [low, high, said] = [least, most, value].map((one) => plain(tenths(one), 10));
  const tail = unit && ` ${unit}`;
  throw new Refused(`${what} must be from ${low} to ${high}${tail} (you gave ${said}). Nothing was saved.`);
}

export const tenths = (value) => whole(value * 10);

export const hundredths = (value) => whole(value * 100);

export function flOzToMl(flOz) {
  within('The volume', flOz, 0, 1_000_000, 'fl oz');
  return flOz * ML_PER_FL_OZ;
}

export function mlToFlOz(ml) {
  within('The volume', ml, 0, 30_000_000, 'ml');
  return ml / ML_PER_FL_OZ;
}

export function ozToG(oz) {
  within('The weight', oz, 0, 1_000_000, 'oz');
  return oz * G_PER_OZ;
}

export function gToOz(g) {
  within('The weight', g, 0, 30_000_000, 'g');
  return g / G_PER_OZ;
}

export function milToUm(mil) {
  within('The film', mil, 0, 1_000, 'mil');
  return mil * UM_PER_MIL;
}

export function umToMil(um) {
  within('The film', um, 0, 30_000, 'um');
  return um / UM_PER_MIL;
}

export function fToDc(tempF) {
  within('The temperature', tempF, -100, 500, '°F');
  return tenths(((tempF - 32) * 5) / 9);
}

export function dcToF(tempDc) {
  number('The temperature', tempDc, -800, 3000, 10, '°C');
  return (tempDc * 9) / 50 + 32;
}
