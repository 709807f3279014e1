// Twin of timers/core/bench/mixing.py: the rules and their sources are explained there.

import { Refused, number, plain } from '../base/check.js';
import { within } from '../base/measures.js';
import { decimal, later, t } from '../base/translate.js';
import { whole } from '../base/units.js';

export const MOST = 10_000_000;
export const MOST_PARTS = 8;

export function split(total, parts) {
  number(later('The amount to mix'), total, 1, MOST);
  checkParts(parts);
  return enough(shares(total, parts), total, parts);
}

export function shares(total, parts) {
  const all = sum(parts);
  const amounts = parts.map((part) => over(total * part, all));
  const left = total - sum(amounts);
  const remainder = (at) => (total * parts[at]) % all;
  const byRemainder = [...parts.keys()].sort((one, two) => remainder(two) - remainder(one));
  byRemainder.slice(0, left).forEach((at) => (amounts[at] += 1));
  return amounts;
}

export function marks(amounts) {
  checkAmounts(amounts);
  return accumulated(amounts);
}

export const grams = (amountsMl, densitiesGPerL) =>
  weighed(amountsMl, densitiesGPerL).map((thousandths) => nearest(thousandths, 1000));

export const tenthGrams = (amountsMl, densitiesGPerL) =>
  weighed(amountsMl, densitiesGPerL).map((thousandths) => nearest(thousandths, 100));

export function fromPart(amount, index, parts) {
  number(later('The amount there is'), amount, 1, MOST);
  checkParts(parts);
  number(later('The part'), index, 0, parts.length - 1);
  return enough(parts.map((part) => nearest(amount * part, parts[index])), amount, parts);
}

export function ratioDriftPm(amounts, parts) {
  checkAmounts(amounts);
  checkParts(parts);
  checkSame(amounts, parts);
  const [first] = amounts;
  const [told] = parts;
  return parts.map((part, at) => whole((1000 * (amounts[at] * told - first * part)) / (first * part)));
}

export function percentHardenerG(puttyG, hardenerPm) {
  checkHardener(hardenerPm);
  within(later('The putty'), puttyG, 0.1, 100_000, 'g');
  return (puttyG * hardenerPm) / 1000;
}

export function puttyForG(hardenerG, hardenerPm) {
  checkHardener(hardenerPm);
  within(later('The hardener'), hardenerG, 0.1, 100_000, 'g');
  return (hardenerG * 1000) / hardenerPm;
}

export function hardenerPmOf(puttyG, hardenerG) {
  within(later('The putty'), puttyG, 0.1, 100_000, 'g');
  within(later('The hardener'), hardenerG, 0.1, 100_000, 'g');
  return whole((1000 * hardenerG) / puttyG);
}

export function hardenerOfTotalPct(hardenerPm) {
  checkHardener(hardenerPm);
  return (100 * hardenerPm) / (1000 + hardenerPm);
}

export function hardenerWarning(hardenerPm, leastPm, mostPm) {
  checkHardener(hardenerPm);
  number(later("The sheet's most hardener"), mostPm, 1, 1000, 10, '%');
  number(later("The sheet's least hardener"), leastPm, 1, mostPm, 10, '%');
  const [share, least, most] = [hardenerPm, leastPm, mostPm].map((one) => decimal(plain(one, 10)));
  if (hardenerPm < leastPm) return tooLittle({ share, least, most });
  return hardenerPm > mostPm ? tooMuch({ share, least, most }) : '';
}

const tooLittle = (told) =>
  t('{share} % hardener; the sheet says {least} to {most} %. Too little: it may never harden through, and clogs the paper.', told);

const tooMuch = (told) =>
  t('{share} % hardener; the sheet says {least} to {most} %. Too much: it hardens no better, and can stain the paint above it.', told);

export function ribbonMm(hardenerG, mmPerG) {
  within(later('The hardener'), hardenerG, 0.1, 1_000, 'g');
  within(later('The length of a gram'), mmPerG, 1, 1_000, 'mm');
  return whole(hardenerG * mmPerG);
}

export function discRibbonMm(discMm, toldDiscMm, toldRibbonMm) {
  within(later('The disc of putty'), discMm, 10, 1_000, 'mm');
  within(later("The sheet's disc"), toldDiscMm, 10, 1_000, 'mm');
  within(later("The sheet's ribbon"), toldRibbonMm, 1, 3_000, 'mm');
  return whole((toldRibbonMm * (discMm * discMm)) / (toldDiscMm * toldDiscMm));
}

export function checkParts(parts) {
  if (!isList(parts)) throw new Refused(t('A ratio has 1 to {most} parts. Nothing was saved.', { most: MOST_PARTS }));
  parts.forEach((part) => number(later('A part of the ratio'), part, 1, 100_000));
}

const checkHardener = (hardenerPm) => number(later('The hardener'), hardenerPm, 1, 1000, 10, '%');

function checkAmounts(amounts) {
  if (!isList(amounts)) throw new Refused(t('A mix has 1 to {most} amounts. Nothing was saved.', { most: MOST_PARTS }));
  amounts.forEach((amount) => number(later('An amount'), amount, 1, MOST));
}

function checkSame(amounts, others) {
  if (amounts.length === others.length) return;
  throw new Refused(t('There are more amounts than parts, or fewer. Nothing was saved.'));
}

function enough(amounts, given, parts) {
  const nth = amounts.indexOf(0) + 1;
  if (!nth) return amounts;
  const told = { given, ratio: parts.join(' : '), nth };
  throw new Refused(t('{given} is too little for {ratio}: part {nth} comes to nothing. Nothing was saved.', told));
}

function weighed(amountsMl, densitiesGPerL) {
  checkAmounts(amountsMl);
  if (!Array.isArray(densitiesGPerL)) throw new Refused(t('The densities are missing. Nothing was saved.'));
  checkSame(amountsMl, densitiesGPerL);
  densitiesGPerL.forEach((density) => number(later('A density'), density, 500, 5_000, 1, later('g per litre')));
  return accumulated(amountsMl.map((ml, at) => ml * densitiesGPerL[at]));
}

const isList = (value) => Array.isArray(value) && value.length >= 1 && value.length <= MOST_PARTS;

const sum = (values) => values.reduce((all, one) => all + one, 0);

const accumulated = (values) => values.map((_, at) => sum(values.slice(0, at + 1)));

const over = (value, by) => (value - (value % by)) / by;

const nearest = (share, of) => over(2 * share + of, 2 * of);
