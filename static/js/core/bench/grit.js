// Twin of timers/core/bench/grit.py: the rules and their sources are explained there.

import { Refused, number } from '../base/check.js';
import { decimal, later, t } from '../base/translate.js';

export const P_UM10 = {
  36: 5380,
  40: 4250,
  50: 3360,
  60: 2690,
  80: 2010,
  100: 1620,
  120: 1250,
  150: 1000,
  180: 820,
  220: 680,
  240: 585,
  280: 522,
  320: 462,
  360: 405,
  400: 350,
  500: 302,
  600: 258,
  800: 218,
  1000: 183,
  1200: 153,
  1500: 126,
  2000: 103,
  2500: 84,
};
export const CAMI_IS_ABOUT_P = { 320: 400, 400: 800, 600: 1200 };
export const BIG_PM = 1800;

const GRADES = Object.keys(P_UM10).map(Number);

export function step(fromP, toP) {
  const coarse = um10(fromP);
  const fine = um10(toP);
  const ratio_pm = Math.floor((2000 * coarse + fine) / (2 * fine));
  if (fromP === toP) return { ratio_pm, ok: true, words: t('P{grit} again.', { grit: toP }) };
  if (coarse < fine) {
    const words = t('P{fine} is coarser than P{coarse}: it puts back deeper scratches.', { fine: toP, coarse: fromP });
    return { ratio_pm, ok: false, words };
  }
  const told = { from: fromP, to: toP, times: decimal(said(coarse, fine)) };
  if (!isSmall(coarse, fine)) return { ratio_pm, ok: false, words: big({ ...told, between: listed(between(fromP, toP)) }) };
  return { ratio_pm, ok: true, words: t('P{from} to P{to}: a good step, {times} times finer.', told) };
}

const big = (told) =>
  t('P{from} to P{to} is a big step, {times} times finer: P{from} scratches may show through. Put {between} between.', told);

export function between(fromP, toP) {
  const rungs = [];
  let last = um10(fromP);
  while (!isSmall(last, um10(toP))) {
    const coarse = last;
    rungs.push(GRADES.findLast((grade) => isSmall(coarse, P_UM10[grade])));
    last = P_UM10[rungs.at(-1)];
  }
  return rungs;
}

export function ladder(grits) {
  if (!Array.isArray(grits) || grits.length > 100) {
    throw new Refused(t('A panel may have 100 steps. Nothing was saved.'));
  }
  grits.forEach((grit) => number(later('The grit'), grit, 0, 10_000));
  const pairs = grits.slice(1).map((grit, at) => [grits[at], grit]);
  return pairs.filter(([one, other]) => one && other).map(rung);
}

export function aboutP(cami) {
  if (typeof cami === 'number' && Object.hasOwn(CAMI_IS_ABOUT_P, cami)) return CAMI_IS_ABOUT_P[cami];
  const known = Object.keys(CAMI_IS_ABOUT_P).join(', ');
  throw new Refused(t('Of papers without a P only {known} are known here. Nothing was saved.', { known }));
}

function rung([from_p, to_p]) {
  const odd = [from_p, to_p].find((grade) => !Object.hasOwn(P_UM10, grade));
  if (odd === undefined) return { from_p, to_p, ...step(from_p, to_p) };
  const told = { grit: odd, near: near(odd) };
  const words = t('P{grit} is not a grade of the P series; the nearest known here: {near}.', told);
  return { from_p, to_p, ratio_pm: null, ok: null, words };
}

const isSmall = (coarse, fine) => coarse * 1000 <= fine * BIG_PM;

function um10(grade) {
  number(later('The grit'), grade, 1, 10_000);
  if (Object.hasOwn(P_UM10, grade)) return P_UM10[grade];
  const told = { grit: grade, near: near(grade) };
  throw new Refused(t('P{grit} is not a grade of the P series; the nearest known here: {near}. Nothing was saved.', told));
}

const near = (grade) =>
  listed([GRADES.findLast((one) => one < grade), GRADES.find((one) => one > grade)].filter(Boolean));

function listed(grades) {
  const names = grades.map((grade) => `P${grade}`);
  const last = names.pop();
  return names.length ? t('{more} and {last} [[grits]]', { more: names.join(', '), last }) : last;
}

function said(coarse, fine) {
  const hundredths = Math.floor((200 * coarse + fine) / (2 * fine));
  return `${Math.floor(hundredths / 100)}.${String(hundredths % 100).padStart(2, '0')}`;
}
