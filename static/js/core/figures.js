// Twin of timers/core/figures.py: the rules and their sources are explained there.

import { number, oneOf, plain, text } from './check.js';
import { closing, opening, waitMs } from './cure.js';
import { isBox, saveOnlyIf } from './refuse.js';

export const SPANS = {
  highest_rh_pm: ['The highest humidity', 10, 1000, 10, '%'],
  sheet_rh_pm: ["The humidity of the sheet's times", 0, 950, 10, '%'],
  solids_pm: ['The solids by volume', 10, 1000, 10, '%'],
  film_um: ['The dry film of a coat', 1, 3000, 1, 'µm'],
  coats: ['The number of coats', 1, 9, 1, ''],
  before_p: ['The paper before it', 12, 10_000, 1, ''],
  after_p: ['The paper after it', 12, 10_000, 1, ''],
  lead_ms: ['The warning before the window closes', 60_000, 86_400_000, 60_000, 'min'],
};
const EACH = {
  densities_g_l: ['The weight of a litre', 500, 5_000, 'g'],
  vocs_g_l: ['The solvent in a litre', 0, 2_000, 'g'],
  waters_g_l: ['The water in a litre', 0, 1_000, 'g'],
};
const PUTTY = ['putty', 'sprayputty'];
const LEAST_PM = 5;
const MOST_PM = 60;
const DATE = /^([0-9]{4}-[0-9]{2}-[0-9]{2})?$/;

export function checkFigures(doc) {
  for (const [key, [what, ...span]] of Object.entries(SPANS)) {
    if ((doc[key] ?? null) !== null) number(what, doc[key], ...span);
  }
  const { notes = '', sheet_date: date = '', ratio = null } = doc;
  text('The notes', notes, 0, 2000);
  text('The date of the sheet', date, 0, 10);
  saveOnlyIf(DATE.test(date), 'The date of the sheet is written like 2026-01-31');
  const parts = ratio === null ? 1 : checkRatio(ratio);
  for (const [key, [what, least, most, unit]] of Object.entries(EACH)) {
    if ((doc[key] ?? null) !== null) checkEach(what, doc[key], parts, [least, most, 1, unit]);
  }
  checkHardener(doc);
  checkWindow(doc.gates ?? {});
}

function checkRatio(ratio) {
  saveOnlyIf(isBox(ratio), 'The ratio is missing');
  const { by, parts, names = null } = ratio;
  oneOf('How the ratio is measured', by, ['volume', 'weight']);
  saveOnlyIf(Array.isArray(parts) && parts.length >= 1 && parts.length <= 4, 'A ratio has 1 to 4 parts');
  parts.forEach((part) => number('A part of the ratio', part, 1, 100_000));
  if (names !== null) {
    const all = Array.isArray(names) && names.length === parts.length;
    saveOnlyIf(all, 'Every part of the ratio needs a name, or none');
    names.forEach((name) => text('The name of a part', name, 1, 60));
  }
  return parts.length;
}

function checkEach(what, values, parts, span) {
  const all = Array.isArray(values) && values.length === parts;
  saveOnlyIf(all, `${what} is needed for each part of the ratio`);
  values.forEach((value) => number(what, value, ...span));
}

function checkHardener({ cls, ratio = null, hardener_span_pm: span = null, ribbon = null }) {
  if (span !== null) {
    saveOnlyIf(Array.isArray(span) && span.length === 2, 'The hardener is from and to');
    span.forEach((share) => number('The hardener', share, 1, 1000, 10, '%'));
    saveOnlyIf(span[0] <= span[1], 'The least hardener is more than the most');
  }
  if (ribbon !== null) {
    saveOnlyIf(isBox(ribbon), 'The ribbon is missing');
    number('The length of the ribbon', ribbon.mm, 1, 3000, 1, 'mm');
    number('The disc of putty', ribbon.disc_mm, 10, 1000, 1, 'mm');
  }
  if (!PUTTY.includes(cls) || ratio?.by !== 'weight' || ratio.parts.length !== 2) return;
  const [putty, hardener] = ratio.parts;
  const [least, most] = span ?? [LEAST_PM, MOST_PM];
  const good = least * putty <= 1000 * hardener && 1000 * hardener <= most * putty;
  const typed = plain(Math.floor((1000 * hardener) / putty), 10);
  const range = `Hardener must be from ${plain(least, 10)} to ${plain(most, 10)} % of the putty`;
  saveOnlyIf(good, `${range} (you typed ${typed})`);
}

function checkWindow(gates) {
  if (!Object.hasOwn(gates, 'flash') || !Object.hasOwn(gates, 'recoat_by')) return;
  const sheet = { gates };
  const [opens, closes] = [opening(sheet, 'flash'), closing(sheet, 'recoat_by')];
  const temps = new Set([...gates.flash, ...gates.recoat_by].map((point) => point[0]));
  for (const temp of [...temps].sort((a, b) => a - b)) {
    const after = waitMs(closes, temp) > waitMs(opens, temp);
    const check = 'check the next coat and the last moment';
    saveOnlyIf(after, `At ${plain(temp, 10)} °C the window closes before it opens: ${check}`);
  }
}
