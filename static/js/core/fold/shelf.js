// Twin of timers/core/fold/shelf.py: the rules and their sources are explained there.

import { standing } from './order.js';

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
