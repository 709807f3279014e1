// What Python's isinstance and raise do in a line each: the guards that the checks of this folder share.

import { Refused } from './check.js';

export const isBox = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);

export function refuseUnless(good, why) {
  if (!good) throw new Refused(why);
}
