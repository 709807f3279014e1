// Twin of timers/core/bench/voc.py: the rules and their sources are explained there.

import { Refused } from '../base/check.js';
import { within } from '../base/measures.js';
import { MOST } from './mixing.js';
import { later, t } from '../base/translate.js';

export const WATER_G_PER_L = 998.2;

export function vocGPerL(parts) {
  const { voc, volume, counted } = summed(parts);
  if (counted <= volume * 1e-6) {
    throw new Refused(t('Without its water and exempt solvent nothing is left of this mix. Nothing was saved.'));
  }
  return voc / counted;
}

export function vocOfAllGPerL(parts) {
  const { voc, volume } = summed(parts);
  return voc / volume;
}

function summed(parts) {
  if (!Array.isArray(parts) || parts.length < 1 || parts.length > 8) {
    throw new Refused(t('A mix has 1 to 8 parts. Nothing was saved.'));
  }
  const mix = { voc: 0, volume: 0, counted: 0 };
  for (const [ml, solvent, kept] of parts.map(ofPart)) {
    mix.voc += ml * solvent;
    mix.volume += ml;
    mix.counted += ml * kept;
  }
  return mix;
}

function ofPart(part) {
  if (typeof part !== 'object' || part === null || Array.isArray(part)) {
    throw new Refused(t('A part of the mix is missing. Nothing was saved.'));
  }
  const { ml, voc_g_per_l: voc = 0, water_g_per_l: water = 0 } = part;
  const { exempt_g_per_l: exempt = 0, exempt_density_g_per_l: density = 0 } = part;
  within(later('The amount of a part'), ml, 0.1, MOST, 'ml');
  within(later('The solvent of a part'), voc, 0, 2_000, later('g per litre'));
  within(later('The water of a part'), water, 0, 1_000, later('g per litre'));
  within(later('The exempt solvent of a part'), exempt, 0, 2_500, later('g per litre'));
  if (exempt > 0) within(later('The density of the exempt solvent'), density, 500, 2_500, later('g per litre'));
  const kept = 1 - water / WATER_G_PER_L - (exempt > 0 ? exempt / density : 0);
  if (kept < -0.005) {
    throw new Refused(t('A part holds more water and exempt solvent than it has room for. Nothing was saved.'));
  }
  return [ml, voc, Math.max(0, kept)];
}
