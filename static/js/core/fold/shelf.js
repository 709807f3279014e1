// Twin of timers/core/fold/shelf.py: the rules and their sources are explained there.

import { whole } from '../base/units.js';
import { standing } from './order.js';

export const OF_PARTS = ['densities_g_l', 'vocs_g_l', 'waters_g_l'];
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

export function laidSheet(product, variantId, coat = 1) {
  const variant = product.variants?.find((one) => one.id === variantId);
  const more = (product.coat_gates ?? []).filter((one) => one.coat <= coat).sort((a, b) => a.coat - b.coat);
  const told = ['sheet_rh_pm', 'lead_ms'].filter((key) => (product[key] ?? null) !== null);
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

export function fit(product, tempDc) {
  const variants = product.variants?.length ? product.variants : [{ id: '', name: '' }];
  return variants.toSorted((a, b) => offBand(a.band_dc, tempDc) - offBand(b.band_dc, tempDc));
}

export function asMixed(product, variantId) {
  const variant = product.variants?.find((one) => one.id === variantId);
  const usual = product.ratio ?? null;
  const own = variant ? (variant.ratio ?? ratioInName(product, variant.name)) : null;
  if (own === null || usual === null || isSame(own, usual)) return { ...product, ratio: own ?? usual };
  const count = own.parts.length;
  const cut = (figures) => (figures && own.by === usual.by && count <= figures.length ? figures.slice(0, count) : null);
  return { ...product, ratio: own, ...Object.fromEntries(OF_PARTS.map((key) => [key, cut(product[key])])) };
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

export function offers(products, wanted, last, tempDc) {
  const isOther = (one) => one.cls !== wanted;
  const isNew = (one) => one.id !== last;
  const ranked = products
    .filter((one) => !isOther(one) || !wanted || !isNew(one))
    .sort((a, b) => isNew(a) - isNew(b) || isOther(a) - isOther(b) || compare(a.name, b.name) || compare(a.id, b.id));
  return ranked.flatMap((product) =>
    fit(product, tempDc).map((variant) => ({
      product: product.id,
      variant: variant.id,
      name: product.name,
      with: variant.name,
    })),
  );
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
