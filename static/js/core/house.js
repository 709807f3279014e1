// Twin of timers/core/house.py: the rules and their sources are explained there.

import { standing } from './order.js';

export const UNITS = { temp: ['c', 'f'], volume: ['ml', 'floz'], weight: ['g', 'oz'], film: ['um', 'mil'] };

export function fold(acts) {
  const units = Object.fromEntries(Object.entries(UNITS).map(([what, choices]) => [what, choices[0]]));
  for (const act of standing(acts).filter(({ kind }) => kind === 'units_chosen')) {
    for (const what of Object.keys(UNITS)) if (Object.hasOwn(act.units, what)) units[what] = act.units[what];
  }
  return { units };
}
