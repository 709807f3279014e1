// Twin of timers/core/fold/shelf.py: the rules and their sources are explained there.

import { whole } from '../base/units.js';
import { standing } from './order.js';

export const OF_PARTS = ['densities_g_l', 'vocs_g_l', 'waters_g_l'];
export const OF_VARIANT = [
  ...['lowest_dc', 'highest_dc', 'cure_lowest_dc', 'cure_highest_dc', 'highest_rh_pm', 'solids_pm', 'solids_of'],
  ...['hardener_solids_pm', 'film_um', 'coats', 'tip_um', 'hardener'],
];
export const IF_TOLD = ['cure_lowest_dc', 'cure_highest_dc', 'sheet_rh_pm', 'lead_ms'];
const CAN = 'can';
export const NOT = 9;
export const CLASS_USES = {
  putty: ['filler', 'glaze', 'fibre'],
  epoxy: ['spot'],
  etch: ['spot'],
  surfacer: ['surfacer'],
  sealer: ['sealer'],
  base: ['base', 'effect'],
  waterbase: ['base', 'effect'],
  clear: ['clear'],
  promoter: ['promoter'],
  topcoat: ['topcoat'],
  seam: ['seam'],
};
export const PERCENT = /([1-9][0-9]?)(?:[.,]([0-9]))?[ \u00a0]*%/;
export const GUN = ['pressure_kpa', 'tip_um', 'turns_tenths', 'distance_mm', 'fan'];

export function fold(acts) {
  let heads = [];
  let away = null;
  const guns = new Map();
  for (const act of standing(acts)) {
    const { kind, at, gun, over = null } = act;
    if (/^(sheet|route)_written$/.test(kind)) {
      heads = [...heads.filter((head) => over !== null && !over.includes(head.id)), act];
    } else if (/^(sheet|route)_put_away$/.test(kind)) away = at;
    else if (/^(sheet|route)_brought_back$/.test(kind)) away = null;
    else if (kind === 'gun_set') guns.set(gun, setUp(act));
    else if (kind === 'gun_dropped') guns.delete(gun);
  }
  const rivals = heads.slice(0, -1).map(({ id, doc }) => ({ id, doc }));
  const { id, doc } = heads.at(-1) ?? { id: '', doc: null };
  return { doc, away_at: away, head: id, rivals, guns: Object.fromEntries(guns) };
}

const setUp = (act) => Object.fromEntries(GUN.filter((key) => (act[key] ?? null) !== null).map((key) => [key, act[key]]));

export function laidSheet(given, variantId, coat = 1) {
  const variant = variantOf(given, variantId);
  const product = withOwnFigures(given, variant);
  const more = (product.coat_gates ?? []).filter((one) => one.coat <= coat).sort((a, b) => a.coat - b.coat);
  const told = IF_TOLD.filter((key) => (product[key] ?? null) !== null);
  return {
    name: product.name,
    cls: product.cls,
    variant: variant ? variant.name : '',
    typical: product.typical ?? false,
    lowest_dc: product.lowest_dc ?? null,
    highest_dc: product.highest_dc ?? null,
    double_dc: product.double_dc ?? null,
    gates: Object.assign({}, product.gates, variant?.gates, ...more.map((one) => one.gates)),
    ...Object.fromEntries(told.map((key) => [key, product[key]])),
  };
}

export function fit(product, tempDc, use = '') {
  const all = product.variants?.length ? product.variants : [{ id: '', name: '' }];
  const fitting = all.filter((one) => !use || ['', use].includes(one.use ?? ''));
  const first = use ? [use] : (CLASS_USES[product.cls] ?? []);
  const off = (one) => offBand(one.band_dc, tempDc);
  const variants = fitting.length ? fitting : all;
  return variants.toSorted((a, b) => offUse(a, first) - offUse(b, first) || off(a) - off(b));
}

export const variantOf = (product, variantId) => product.variants?.find((one) => one.id === variantId);

export function asMixed(product, variantId) {
  const variant = variantOf(product, variantId);
  const usual = product.ratio ?? null;
  const own = variant ? (variant.ratio ?? ratioInName(product, variant.name)) : null;
  const ratio = own ?? usual;
  const mixed = { ...withOwnFigures(product, variant), ratio };
  const count = ratio?.parts.length;
  if (own !== null && usual !== null && !isSame(own, usual)) {
    const isEnough = (figures) => figures && own.by === usual.by && count <= figures.length;
    for (const key of OF_PARTS) mixed[key] = isEnough(product[key]) ? product[key].slice(0, count) : null;
  }
  for (const key of OF_PARTS) if (variant?.[key] && variant[key].length === count) mixed[key] = variant[key];
  return mixed;
}

export function hardenerPm({ cls, ratio }) {
  if (!ratio || cls !== 'putty' || ratio.by !== 'weight' || ratio.parts.length !== 2) return null;
  return whole((1000 * ratio.parts[1]) / ratio.parts[0]);
}

export function byHardener(product, sharePm) {
  const shares = (product.variants ?? []).map(({ id }) => [hardenerPm(asMixed(product, id)), id]);
  const known = shares.filter(([share]) => share !== null);
  const off = ([share]) => Math.abs(share - sharePm);
  return known.sort((a, b) => off(a) - off(b) || a[0] - b[0])[0]?.[1] ?? '';
}

export function offers(products, wanted, last, tempDc, use = '', card = '') {
  const isOther = (one) => one.cls !== wanted;
  const isNew = (one) => one.id !== last;
  const serving = products.filter((one) => use && serves(one, use) < NOT);
  const offered = serving.length ? serving : products.filter((one) => !isOther(one) || !wanted || !isNew(one));
  const byName = (a, b) => compare(a.name, b.name) || compare(a.id, b.id);
  const ranks = new Map(offered.map((one) => [one, [isNew(one), ...rank(one, wanted, use, card)]]));
  const ranked = offered.toSorted((a, b) => byPlace(ranks.get(a), ranks.get(b)) || byName(a, b));
  return ranked.flatMap((product) =>
    fit(product, tempDc, use).map((variant) => ({
      product: product.id,
      variant: variant.id,
      name: product.name,
      with: variant.name,
    })),
  );
}

export function serves(product, use) {
  const said = usesOf(product);
  if (said.size) return said.has(use) ? 0 : NOT;
  return CLASS_USES[product.cls]?.includes(use) ? 1 : NOT;
}

export const usesOf = ({ uses = [], variants = [] }) =>
  new Set([...uses, ...variants.map((one) => one.use)].filter(Boolean));

function rank(product, wanted, use, card) {
  const said = wanted || use ? usesOf(product) : new Set();
  const ofClass = CLASS_USES[wanted] ?? [];
  const fits = use ? serves(product, use) : Number(said.size > 0 && !ofClass.some((one) => said.has(one)));
  const wantsCan = card === CAN;
  const offCan = (said.size > 0 || wantsCan) && Boolean(product.in_can) !== wantsCan;
  return [fits, offCan, product.cls !== wanted, said.size];
}

const byPlace = (one, other) => {
  const at = one.findIndex((value, nth) => value !== other[nth]);
  return at < 0 ? 0 : Number(one[at]) - Number(other[at]);
};

export function lastLaid(films, products, wanted, use = '') {
  const isSuch = (one, sheet) => (use ? serves(one, use) < NOT : sheet.cls === wanted);
  for (const film of films.toReversed()) {
    const product = products.find((one) => [film.product, `product:${film.product}`].includes(one.id));
    if (product && isSuch(product, film.sheet)) return product.id;
  }
  return '';
}

function offUse({ use = '' }, first) {
  if (first.includes(use)) return 0;
  return use ? 2 : 1;
}

function withOwnFigures(product, variant) {
  const told = OF_VARIANT.filter((key) => (variant?.[key] ?? null) !== null);
  return { ...product, ...Object.fromEntries(told.map((key) => [key, variant[key]])) };
}

const offBand = (band, tempDc) => (band ? Math.max(band[0] - tempDc, tempDc - band[1], 0) : 0);

// By code point, as Python compares; `<` would put the signs beyond U+FFFF before some others.
function compare(a, b) {
  const [left, right] = [[...a], [...b]];
  const at = left.findIndex((sign, nth) => sign !== right[nth]);
  if (at < 0) return left.length - right.length;
  return at < right.length ? left[at].codePointAt() - right[at].codePointAt() : 1;
}

const isSame = (one, other) => JSON.stringify([one.by, one.parts, one.names]) === JSON.stringify([other.by, other.parts, other.names]);

function ratioInName(product, name) {
  const found = PERCENT.exec(name);
  if (!found || hardenerPm(product) === null) return null;
  return { by: 'weight', parts: [1000, 10 * Number(found[1]) + Number(found[2] ?? 0)] };
}
