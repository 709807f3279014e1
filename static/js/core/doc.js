// Twin of timers/core/doc.py: the rules and their sources are explained there.

import { ids, number, oneOf, text, wholeNumber } from './check.js';
import { SPANS, checkFigures } from './figures.js';
import { isBox, refuseUnless } from './refuse.js';
import { later, t } from './tongue.js';
import { DAY_MS } from './units.js';

export const DOES = ['sand', 'fill', 'clean', 'coat', 'check'];
export const CLASSES = 'putty sprayputty epoxy etch surfacer sealer base waterbase clear'.split(' ');
export const GATES = 'pot flash sand recoat_by handle cure clear_air induction'.split(' ');

export function checkSteps(steps) {
  refuseUnless(isList(steps, 0, 100), t('A panel may have 100 steps. Nothing was saved.'));
  steps.forEach(checkStep);
  const own = new Set(steps.map((step) => step.id)).size === steps.length;
  refuseUnless(own, t('Two steps carry the same number. Nothing was saved.'));
}

export function checkSheet(sheet) {
  refuseUnless(isBox(sheet), t("The product's sheet is missing. Nothing was saved."));
  const { name, variant = '', cls, typical = false, gates } = sheet;
  text(later("The product's name"), name, 1, 200);
  text(later('The variant'), variant, 0, 200);
  oneOf(later("The product's class"), cls, CLASSES);
  refuseUnless(typeof typical === 'boolean', t('Typical times or your own: the sheet must say yes or no. Nothing was saved.'));
  checkLimits(sheet);
  checkGates(gates);
}

export function checkDoc(kind, doc) {
  refuseUnless(isBox(doc), t('Nothing was written. Nothing was saved.'));
  text(later('The name'), doc.name, 1, 200);
  if (kind === 'route_written') return checkSteps(doc.steps);
  checkSheet(doc);
  const { variants = [], coat_gates: coats = [] } = doc;
  refuseUnless(isList(variants, 0, 12), t('A product may have 12 variants. Nothing was saved.'));
  variants.forEach(checkVariant);
  refuseUnless(isList(coats, 0, 8), t('A product may have times of their own for 8 numbers of coats. Nothing was saved.'));
  coats.forEach(checkCoatGates);
  return checkFigures(doc);
}

function checkCoatGates(one) {
  refuseUnless(isBox(one), t('The times of a coat are missing. Nothing was saved.'));
  number(later('The number of coats'), one.coat, 2, 20);
  checkGates(one.gates);
}

const isList = (value, least, most) => Array.isArray(value) && value.length >= least && value.length <= most;

const checkTemp = (what, value) => number(what, value, -400, 1500, 10, '°C');

function checkStep(step) {
  refuseUnless(isBox(step), t('A step is missing. Nothing was saved.'));
  const { id, do: does, words, area = '', coats = 1, grit = 0, cls = '' } = step;
  ids(later('The step'), [id]);
  oneOf(later('What a step does'), does, DOES);
  text(later("The step's words"), words, 1, 200);
  text(later("The step's area"), area, 0, 200);
  number(later('The number of coats'), coats, 1, 20);
  number(later('The grit'), grit, 0, 10_000);
  if (cls !== '') oneOf(later("The step's class of product"), cls, CLASSES);
}

function checkVariant(variant) {
  refuseUnless(isBox(variant), t('A variant is missing. Nothing was saved.'));
  const { id, name, band_dc: band = null, gates } = variant;
  ids(later('The variant'), [id]);
  text(later("The variant's name"), name, 1, 200);
  if (band !== null) {
    refuseUnless(isList(band, 2, 2), t("A variant's temperatures are two: from and to. Nothing was saved."));
    band.forEach((temp) => checkTemp(later("A variant's temperature"), temp));
  }
  if (gates !== undefined) checkGates(gates);
}

function checkLimits(sheet) {
  const { lowest_dc: lowest = null, highest_dc: highest = null, double_dc: double = null, sheet_rh_pm: damp = null } = sheet;
  if (lowest !== null) checkTemp(later('The lowest temperature'), lowest);
  if (highest !== null) checkTemp(later('The highest temperature'), highest);
  if (double !== null) number(later('The doubling step'), double, 30, 300, 10, '°C');
  if (damp !== null) number(later("The humidity of the sheet's times"), damp, 0, 950, 10, '%');
  if ((sheet.lead_ms ?? null) !== null) {
    const [what, ...span] = SPANS.lead_ms;
    number(what, sheet.lead_ms, ...span);
  }
  const both = lowest !== null && highest !== null;
  refuseUnless(!both || lowest < highest, t('The lowest temperature must be below the highest. Nothing was saved.'));
}

function checkGates(gates) {
  refuseUnless(isBox(gates), t('The sheet has no times. Nothing was saved.'));
  Object.keys(gates).forEach((name) => oneOf(later('A time on the sheet'), name, GATES));
  GATES.filter((name) => Object.hasOwn(gates, name)).map((name) => gates[name]).forEach((points) => {
    refuseUnless(isList(points, 1, 12), t('A time on the sheet needs 1 to 12 lines. Nothing was saved.'));
    points.forEach(checkPoint);
    points.slice(1).forEach((point, at) => checkPair(points[at], point));
  });
}

function checkPoint(point) {
  refuseUnless(isList(point, 3, 3), t('A line of the sheet is a temperature, a shorter and a longer time. Nothing was saved.'));
  const [temp, shorter, longer] = point;
  checkTemp(later("A sheet's temperature"), temp);
  [shorter, longer].forEach(checkTime);
  refuseUnless(shorter <= longer, t('The shorter time is longer than the longer one. Nothing was saved.'));
}

function checkTime(time) {
  wholeNumber(later('A time on the sheet'), time);
  const good = time >= 1_000 && time <= 365 * DAY_MS;
  refuseUnless(good, t('A time on the sheet must be from one second to 365 days. Nothing was saved.'));
}

function checkPair([colder, short, long], [warmer, shorter, less]) {
  refuseUnless(warmer > colder, t("The sheet's lines must rise in temperature. Nothing was saved."));
  refuseUnless(shorter <= short && less <= long, t('On this sheet warmer is slower. Check the lines. Nothing was saved.'));
}
