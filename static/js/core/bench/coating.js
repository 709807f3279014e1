// Twin of timers/core/bench/coating.py: the rules and their sources are explained there.

import { Refused } from '../base/check.js';
import { within } from '../base/measures.js';
import { later, t } from '../base/translate.js';
import { whole } from '../base/units.js';
import { readyToSprayMl, wetFilmUm } from './cover.js';

export const TYPICAL = {
  epoxy: [500, 30],
  etch: [200, 10],
  surfacer: [500, 50],
  sealer: [400, 30],
  base: [200, 10],
  waterbase: [200, 10],
  clear: [450, 28],
  topcoat: [480, 30],
  sprayputty: [650, 100],
};
export const LANDS_PCT = 60;
export const LOSS_PCT = 10;
export const REDUCED = ['base', 'waterbase'];

export const roles = (cls, count) =>
  REDUCED.includes(cls) && count === 2 ? ['paint', 'reducer'] : ['paint', 'hardener', 'reducer', 'other'].slice(0, count);

export function readyVsPct(solidsPct, of, cls, parts, hardenerPct = null) {
  within(later('The volume solids'), solidsPct, 1, 100, '%');
  if (of === 'ready') return solidsPct;
  const hardener = of === 'tin' && hardenerPct !== null ? hardenerPct : solidsPct;
  const own = { paint: solidsPct, hardener, reducer: 0, other: 0 };
  const each = roles(cls, parts.length).map((role, nth) => own[role] * parts[nth]);
  const ready = sum(each) / sum(parts);
  within(later('The volume solids'), ready, 1, 100, '%');
  return ready;
}

export function filmOf({ cls, solids_pm: solidsPm, solids_of: of, film_um: filmUm }) {
  const typical = Object.hasOwn(TYPICAL, cls) ? TYPICAL[cls] : null;
  if ((!solidsPm || !filmUm) && !typical) return null;
  const [solids, film] = typical ?? [0, 0];
  return {
    solids_pm: solidsPm || solids,
    of: solidsPm ? of || 'mixed' : 'mixed',
    film_um: filmUm || film,
    typical: !solidsPm || !filmUm,
  };
}

export function readyPct(product) {
  const { solids_pm: solidsPm, of } = known(product);
  const { cls, ratio, hardener_solids_pm: hardenerPm = null } = product;
  return readyVsPct(solidsPm / 10, of, cls, ratio?.parts ?? [1], hardenerPm === null ? null : hardenerPm / 10);
}

export function coverage(product, areaM2, coats, landsPct, lossPct) {
  const { film_um: filmUm } = known(product);
  const ready = readyPct(product);
  return {
    ml: readyToSprayMl(areaM2, coats, filmUm, ready, landsPct, lossPct),
    ready_pm: whole(10 * ready),
    wet_um: whole(wetFilmUm(filmUm, ready)),
  };
}

function known(product) {
  const film = filmOf(product);
  if (film !== null) return film;
  throw new Refused(t('The volume solids or the dry film are not on the sheet. Nothing was saved.'));
}

const sum = (values) => values.reduce((all, one) => all + one, 0);
