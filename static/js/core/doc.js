// Twin of timers/core/doc.py: the rules and their sources are explained there.

import { ids, number, oneOf, text, wholeNumber } from './check.js';
import { SPANS, checkFigures } from './figures.js';
import { isBox, saveOnlyIf } from './refuse.js';
import { DAY_MS } from './units.js';

export const DOES = ['sand', 'fill', 'clean', 'coat', 'check'];
export const CLASSES = 'putty sprayputty epoxy etch surfacer sealer base waterbase clear'.split(' ');
export const GATES = 'pot flash sand recoat_by handle cure clear_air induction'.split(' ');

export function checkSteps(steps) {
  saveOnlyIf(isList(steps, 0, 100), 'A panel may have 100 steps');
  steps.forEach(checkStep);
  saveOnlyIf(new Set(steps.map((step) => step.id)).size === steps.length, 'Two steps carry the same number');
}

export function checkSheet(sheet) {
  saveOnlyIf(isBox(sheet), "The product's sheet is missing");
  const { name, variant = '', cls, typical = false, gates } = sheet;
  text("The product's name", name, 1, 200);
  text('The variant', variant, 0, 200);
  oneOf("The product's class", cls, CLASSES);
  saveOnlyIf(typeof typical === 'boolean', 'Typical times or your own: the sheet must say yes or no');
  checkLimits(sheet);
  checkGates(gates);
}

export function checkDoc(kind, doc) {
  saveOnlyIf(isBox(doc), 'Nothing was written');
  text('The name', doc.name, 1, 200);
  if (kind === 'route_written') return checkSteps(doc.steps);
  checkSheet(doc);
  const { variants = [], coat_gates: coats = [] } = doc;
  saveOnlyIf(isList(variants, 0, 12), 'A product may have 12 variants');
  variants.forEach(checkVariant);
  saveOnlyIf(isList(coats, 0, 8), 'A product may have times of their own for 8 numbers of coats');
  coats.forEach(checkCoatGates);
  return checkFigures(doc);
}

function checkCoatGates(one) {
  saveOnlyIf(isBox(one), 'The times of a coat are missing');
  number('The number of coats', one.coat, 2, 20);
  checkGates(one.gates);
}

const isList = (value, least, most) => Array.isArray(value) && value.length >= least && value.length <= most;

const checkTemp = (what, value) => number(what, value, -400, 1500, 10, '°C');

function checkStep(step) {
  saveOnlyIf(isBox(step), 'A step is missing');
  const { id, do: does, words, area = '', coats = 1, grit = 0, cls = '' } = step;
  ids('The step', [id]);
  oneOf('What a step does', does, DOES);
  text("The step's words", words, 1, 200);
  text("The step's area", area, 0, 200);
  number('The number of coats', coats, 1, 20);
  number('The grit', grit, 0, 10_000);
  if (cls !== '') oneOf("The step's class of product", cls, CLASSES);
}

function checkVariant(variant) {
  saveOnlyIf(isBox(variant), 'A variant is missing');
  const { id, name, band_dc: band = null, gates } = variant;
  ids('The variant', [id]);
  text("The variant's name", name, 1, 200);
  if (band !== null) {
    saveOnlyIf(isList(band, 2, 2), "A variant's temperatures are two: from and to");
    band.forEach((temp) => checkTemp("A variant's temperature", temp));
  }
  if (gates !== undefined) checkGates(gates);
}

function checkLimits(sheet) {
  const { lowest_dc: lowest = null, highest_dc: highest = null, double_dc: double = null, sheet_rh_pm: damp = null } = sheet;
  if (lowest !== null) checkTemp('The lowest temperature', lowest);
  if (highest !== null) checkTemp('The highest temperature', highest);
  if (double !== null) number('The doubling step', double, 30, 300, 10, '°C');
  if (damp !== null) number("The humidity of the sheet's times", damp, 0, 950, 10, '%');
  if ((sheet.lead_ms ?? null) !== null) {
    const [what, ...span] = SPANS.lead_ms;
    number(what, sheet.lead_ms, ...span);
  }
  const both = lowest !== null && highest !== null;
  saveOnlyIf(!both || lowest < highest, 'The lowest temperature must be below the highest');
}

function checkGates(gates) {
  saveOnlyIf(isBox(gates), 'The sheet has no times');
  Object.keys(gates).forEach((name) => oneOf('A time on the sheet', name, GATES));
  Object.values(gates).forEach((points) => {
    saveOnlyIf(isList(points, 1, 12), 'A time on the sheet needs 1 to 12 lines');
    points.forEach(checkPoint);
    points.slice(1).forEach((point, at) => checkPair(points[at], point));
  });
}

function checkPoint(point) {
  saveOnlyIf(isList(point, 3, 3), 'A line of the sheet is a temperature, a shorter and a longer time');
  const [temp, shorter, longer] = point;
  checkTemp("A sheet's temperature", temp);
  [shorter, longer].forEach(checkTime);
  saveOnlyIf(shorter <= longer, 'The shorter time is longer than the longer one');
}

function checkTime(time) {
  wholeNumber('A time on the sheet', time);
  saveOnlyIf(time >= 1_000 && time <= 365 * DAY_MS, 'A time on the sheet must be from one second to 365 days');
}

function checkPair([colder, short, long], [warmer, shorter, less]) {
  saveOnlyIf(warmer > colder, "The sheet's lines must rise in temperature");
  saveOnlyIf(shorter <= short && less <= long, 'On this sheet warmer is slower. Check the lines');
}
