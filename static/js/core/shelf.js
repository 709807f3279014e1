// Twin of timers/core/shelf.py: the rules and their sources are explained there.

import { standing } from './order.js';

export function fold(acts) {
  const state = { doc: null, away_at: null };
  for (const { kind, doc, at } of standing(acts)) {
    if (/^(sheet|route)_written$/.test(kind)) state.doc = doc;
    else if (/^(sheet|route)_put_away$/.test(kind)) state.away_at = at;
    else if (/^(sheet|route)_brought_back$/.test(kind)) state.away_at = null;
  }
  return state;
}

export function laidSheet(product, variantId) {
  const variant = product.variants?.find((one) => one.id === variantId);
  return {
    name: product.name,
    cls: product.cls,
    variant: variant ? variant.name : '',
    typical: product.typical ?? false,
    lowest_dc: product.lowest_dc ?? null,
    highest_dc: product.highest_dc ?? null,
    double_dc: product.double_dc ?? null,
    gates: { ...product.gates, ...variant?.gates },
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
