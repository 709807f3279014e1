// Twin of timers/core/bench/shopping.py: the rules and their sources are explained there.

import { Refused } from '../base/check.js';
import { t } from '../base/translate.js';
import { up } from '../base/units.js';
import { spots } from '../fold/areas.js';
import * as shelf from '../fold/shelf.js';
import { coverage, filmOf, roles } from './coating.js';
import { shares } from './mixing.js';

export const SPOT = 0.1;
export const SKIM_UM = 1_000;
export const FILLER_G_L = 1_800;
export const SPRAYED_G_L = 1_500;
export const DISC_M2 = 0.3;
export const PACK = 10;
export const FILLERS = ['putty'];

export function products(works, onShelf, tempDc, usual) {
  const rows = new Map();
  for (const work of works) {
    for (const step of ahead(work, ['coat', 'fill'])) {
      const row = rowOf(work, step, onShelf, tempDc, usual);
      const key = JSON.stringify([row.product, row.variant, row.cls]);
      rows.set(key, rows.has(key) ? added(rows.get(key), row) : row);
    }
  }
  const sizes = (row) => usual[row.by === 'weight' ? 'weight' : 'volume'];
  const tinned = (row) => row.parts.map((part) => ({ ...part, tins: tins(part.amount, sizes(row)) }));
  return [...rows.values()].map((row) => ({ ...row, parts: tinned(row) }));
}

export function papers(works) {
  const areas = new Map();
  for (const work of works) {
    for (const step of ahead(work, ['sand'])) {
      if (step.grit) areas.set(step.grit, (areas.get(step.grit) ?? 0) + areaOf(work, step));
    }
  }
  const grits = [...areas.keys()].sort((a, b) => a - b);
  const discs = grits.map((grit) => [grit, Math.max(1, up(areas.get(grit) / DISC_M2))]);
  return discs.map(([grit, count]) => ({ grit, discs: count, packs: Math.ceil(count / PACK) }));
}

export function tins(amount, sizes) {
  const largest = sizes.at(-1);
  const counts = new Map([[largest, Math.floor(amount / largest)]]);
  const rest = amount % largest;
  for (const size of rest ? forRest(rest, sizes) : []) counts.set(size, (counts.get(size) ?? 0) + 1);
  return sizes.toReversed().map((size) => [counts.get(size) ?? 0, size]).filter(([count]) => count);
}

function forRest(rest, sizes) {
  const one = sizes.find((size) => size >= rest);
  const pairs = sizes.flatMap((large) => sizes.filter((small) => small <= large).map((small) => [large + small, large, small]));
  const enough = pairs.filter(([both]) => both >= rest).sort((a, b) => a[0] - b[0] || a[1] - b[1] || a[2] - b[2]);
  const [both, large, small] = enough[0] ?? [one, one, 0];
  return 3 * both <= 2 * one ? [large, small] : [one];
}

const ahead = (work, does) => work.steps.filter((step) => step.done_at === null && does.includes(step.do));

const areaOf = (work, step) =>
  step.use === 'spot' || spots(work.steps).includes(step.area) ? work.area_m2 * SPOT : work.area_m2;

function rowOf(work, step, onShelf, tempDc, usual) {
  const offer = offerOf(work, step, onShelf, tempDc);
  if (!offer) {
    const why = t('Nothing of this class is on the shelf.');
    return rowFor(step.cls, { product: '', variant: '', name: '', with: '' }, 'volume', why);
  }
  const bought = onShelf.find((one) => one.id === offer.product);
  const product = shelf.asMixed(bought, offer.variant);
  const row = rowFor(product.cls, offer, isWeighed(product) ? 'weight' : 'volume', '');
  try {
    const total = totalOf(areaOf(work, step), coatsOf(step), product, usual);
    return { ...row, parts: partsOf(product, total), typical: isTypical(product) };
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    return { ...row, why: why.message };
  }
}

const rowFor = (cls, { product, name, with: variant }, by, why) => ({
  product,
  name,
  variant,
  cls,
  by,
  parts: [],
  typical: true,
  why,
});

function offerOf(work, { cls, use = '', card = '' }, onShelf, tempDc) {
  const last = shelf.lastLaid(work.films, onShelf, cls, use);
  return cls || use ? shelf.offers(onShelf, cls, last, tempDc, use, card)[0] : null;
}

const coatsOf = (step) => (step.do === 'coat' ? Math.max(step.coats - step.laid, 1) : 1);

const isWeighed = ({ cls, ratio }) => FILLERS.includes(cls) || ratio?.by === 'weight';

function isTypical(product) {
  if (product.typical || (isWeighed(product) && !product.densities_g_l)) return true;
  return FILLERS.includes(product.cls) || (filmOf(product)?.typical ?? true);
}

function totalOf(areaM2, coats, product, { lands_pct: lands, loss_pct: loss }) {
  if (FILLERS.includes(product.cls)) {
    const filled = areaM2 * SPOT * (product.film_um || SKIM_UM) * (1 + loss / 100);
    return Math.max(1, up((filled * gPerL(product, FILLER_G_L)) / 1000));
  }
  const { ml } = coverage(product, areaM2, coats, lands, loss);
  return isWeighed(product) ? up((ml * gPerL(product, SPRAYED_G_L)) / 1000) : ml;
}

const gPerL = (product, typical) => (product.densities_g_l ?? [typical])[0];

function partsOf({ cls, ratio }, total) {
  const parts = ratio?.parts ?? [1];
  const each = shares(total, parts);
  return roles(cls, parts.length).map((role, at) => ({ role, name: ratio?.names?.[at] ?? '', amount: each[at], tins: [] }));
}

function added(one, other) {
  if (!one.parts.length || !other.parts.length) return one.parts.length ? one : other;
  return { ...one, parts: one.parts.map((part, at) => ({ ...part, amount: part.amount + other.parts[at].amount })) };
}
