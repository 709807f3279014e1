// Twin of timers/core/bench/cover.py: the rules and their sources are explained there.

import { Refused, number } from '../base/check.js';
import { within } from '../base/measures.js';
import { MOST, shares } from './mixing.js';
import { later, t } from '../base/translate.js';
import { DAY_MS, MINUTE_MS, up } from '../base/units.js';

export const FT2_MIL_PER_GAL = 1604;
export const MOST_CUPS = 24;

export function m2PerL(vsPct, dftUm, tePct = 100) {
  checkFilm(vsPct, dftUm, tePct);
  return ((10 * vsPct) / dftUm) * (tePct / 100);
}

export function ft2PerGal(vsPct, dftMil, tePct = 100) {
  checkShares(vsPct, tePct);
  within(later('The dry film'), dftMil, 0.1, 200, 'mil');
  return ((FT2_MIL_PER_GAL * (vsPct / 100)) / dftMil) * (tePct / 100);
}

export function wetFilmUm(dftUm, vsPct, thinnerPct = 0) {
  checkFilm(vsPct, dftUm, 100);
  within(later('The thinner'), thinnerPct, 0, 300, '%');
  return (dftUm * (1 + thinnerPct / 100)) / (vsPct / 100);
}

export function litresFor(areaM2, dftUm, vsPct, tePct) {
  within(later('The area'), areaM2, 0.01, 1_000, 'm²');
  return areaM2 / m2PerL(vsPct, dftUm, tePct);
}

export function readyToSprayMl(areaM2, coats, dftUm, vsPct, tePct, lossPct) {
  number(later('The number of coats'), coats, 1, 20);
  within(later('The loss'), lossPct, 0, 100, '%');
  return up(1000 * coats * litresFor(areaM2, dftUm, vsPct, tePct) * (1 + lossPct / 100));
}

export function thinnedVsPct(vsPct, thinnerPct) {
  checkShares(vsPct, 100);
  within(later('The thinner'), thinnerPct, 0, 300, '%');
  return vsPct / (1 + thinnerPct / 100);
}

export function cups(totalMl, coats, sprayMs, flashMs, potMs, inductionMs = 0) {
  checkWork(totalMl, coats, sprayMs, flashMs, potMs);
  number(later('The time to stand before use'), inductionMs, 0, DAY_MS, MINUTE_MS, 'min');
  const goodMs = potMs - inductionMs;
  if (goodMs <= 0) throw new Refused(t('The pot life is over before the mix has stood long enough. Nothing was saved.'));
  const fit = goodMs >= sprayMs ? Math.floor((goodMs + flashMs) / (sprayMs + flashMs)) : 0;
  const share = fit ? 1 : Math.ceil(sprayMs / goodMs);
  const count = fit ? Math.ceil(coats / fit) : coats * share;
  if (count > MOST_CUPS) {
    throw new Refused(t('The pot life is too short for this: it would take {count} cups. Nothing was saved.', { count }));
  }
  const spread = (nth) => Math.floor(coats / count) + (nth < coats % count ? 1 : 0);
  const held = Array.from({ length: count }, (_, nth) => (fit ? spread(nth) : 1));
  const takes = (work) => work * sprayMs + (work - 1) * flashMs;
  const sizes = shares(totalMl, held);
  if (sizes.includes(0)) {
    throw new Refused(t('{ml} ml is too little for {count} cups. Nothing was saved.', { ml: totalMl, count }));
  }
  return {
    one: count === 1,
    takes_ms: inductionMs + takes(coats),
    share,
    cups: held.map((work, nth) => ({
      ml: sizes[nth],
      coats: work,
      takes_ms: inductionMs + (fit ? takes(work) : up(sprayMs / share)),
    })),
  };
}

function checkWork(totalMl, coats, sprayMs, flashMs, potMs) {
  number(later('The amount to mix'), totalMl, 1, MOST, 1, 'ml');
  number(later('The number of coats'), coats, 1, 20);
  number(later('The time to spray a coat'), sprayMs, MINUTE_MS, DAY_MS, MINUTE_MS, 'min');
  number(later('The flash'), flashMs, 0, DAY_MS, MINUTE_MS, 'min');
  number(later('The pot life'), potMs, MINUTE_MS, DAY_MS, MINUTE_MS, 'min');
}

function checkFilm(vsPct, dftUm, tePct) {
  checkShares(vsPct, tePct);
  within(later('The dry film'), dftUm, 1, 5_000, 'um');
}

function checkShares(vsPct, tePct) {
  within(later('The volume solids'), vsPct, 1, 100, '%');
  within(later('The share that lands on the panel'), tePct, 1, 100, '%');
}
