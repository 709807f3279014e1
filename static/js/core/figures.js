// Twin of timers/core/figures.py: the rules and their sources are explained there.

import { number, oneOf, plain, text } from './check.js';
import { closing, opening, waitMs } from './cure.js';
import { isBox, refuseUnless } from './refuse.js';
import { decimal, later, t } from './tongue.js';

export const SPANS = {
  highest_rh_pm: [later('The highest humidity'), 10, 1000, 10, '%'],
  sheet_rh_pm: [later("The humidity of the sheet's times"), 0, 950, 10, '%'],
  solids_pm: [later('The solids by volume'), 10, 1000, 10, '%'],
  film_um: [later('The dry film of a coat'), 1, 3000, 1, 'µm'],
  coats: [later('The number of coats'), 1, 9, 1, ''],
  before_p: [later('The paper before it [[abrasive]]'), 12, 10_000, 1, ''],
  after_p: [later('The paper after it [[abrasive]]'), 12, 10_000, 1, ''],
  lead_ms: [later('The warning before the window closes'), 60_000, 86_400_000, 60_000, 'min'],
};
const EACH = {
  densities_g_l: [later('The weight of a litre'), 500, 5_000, 'g'],
  vocs_g_l: [later('The solvent in a litre'), 0, 2_000, 'g'],
  waters_g_l: [later('The water in a litre'), 0, 1_000, 'g'],
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
  text(later('The notes'), notes, 0, 2000);
  text(later('The date of the sheet'), date, 0, 10);
  refuseUnless(DATE.test(date), t('The date of the sheet is written like 2026-01-31. Nothing was saved.'));
  const parts = ratio === null ? 1 : checkRatio(ratio);
  for (const [key, [what, least, most, unit]] of Object.entries(EACH)) {
    if ((doc[key] ?? null) !== null) checkEach(what, doc[key], parts, [least, most, 1, unit]);
  }
  checkHardener(doc);
  checkWindow(doc.gates ?? {});
}

function checkRatio(ratio) {
  refuseUnless(isBox(ratio), t('The ratio is missing. Nothing was saved.'));
  const { by, parts, names = null } = ratio;
  oneOf(later('How the ratio is measured'), by, ['volume', 'weight']);
  const some = Array.isArray(parts) && parts.length >= 1 && parts.length <= 4;
  refuseUnless(some, t('A ratio has 1 to {most} parts. Nothing was saved.', { most: 4 }));
  parts.forEach((part) => number(later('A part of the ratio'), part, 1, 100_000));
  if (names !== null) {
    const all = Array.isArray(names) && names.length === parts.length;
    refuseUnless(all, t('Every part of the ratio needs a name, or none. Nothing was saved.'));
    names.forEach((name) => text(later('The name of a part'), name, 1, 60));
  }
  return parts.length;
}

function checkEach(what, values, parts, span) {
  const all = Array.isArray(values) && values.length === parts;
  refuseUnless(all, t('{what} is needed for each part of the ratio. Nothing was saved.', { what: t(what) }));
  values.forEach((value) => number(what, value, ...span));
}

function checkHardener({ cls, ratio = null, hardener_span_pm: span = null, ribbon = null }) {
  if (span !== null) {
    refuseUnless(Array.isArray(span) && span.length === 2, t('The hardener is from and to. Nothing was saved.'));
    span.forEach((share) => number(later('The hardener'), share, 1, 1000, 10, '%'));
    refuseUnless(span[0] <= span[1], t('The least hardener is more than the most. Nothing was saved.'));
  }
  if (ribbon !== null) {
    refuseUnless(isBox(ribbon), t('The ribbon is missing. Nothing was saved.'));
    number(later('The length of the ribbon'), ribbon.mm, 1, 3000, 1, 'mm');
    number(later('The disc of putty'), ribbon.disc_mm, 10, 1000, 1, 'mm');
  }
  if (!PUTTY.includes(cls) || ratio?.by !== 'weight' || ratio.parts.length !== 2) return;
  const [putty, hardener] = ratio.parts;
  const [least, most] = span ?? [LEAST_PM, MOST_PM];
  const good = least * putty <= 1000 * hardener && 1000 * hardener <= most * putty;
  const [low, high, typed] = [least, most, Math.floor((1000 * hardener) / putty)].map((one) => decimal(plain(one, 10)));
  const told = { least: low, most: high, typed };
  refuseUnless(good, t('Hardener must be from {least} to {most} % of the putty (you typed {typed}). Nothing was saved.', told));
}

function checkWindow(gates) {
  if (!Object.hasOwn(gates, 'flash') || !Object.hasOwn(gates, 'recoat_by')) return;
  const sheet = { gates };
  const [opens, closes] = [opening(sheet, 'flash'), closing(sheet, 'recoat_by')];
  const temps = new Set([...gates.flash, ...gates.recoat_by].map((point) => point[0]));
  for (const temp of [...temps].sort((a, b) => a - b)) {
    const after = waitMs(closes, temp) > waitMs(opens, temp);
    refuseUnless(after, shutFirst(decimal(plain(temp, 10))));
  }
}

const shutFirst = (temp) =>
  t('At {temp} °C the window closes before it opens: check the next coat and the last moment. Nothing was saved.', { temp });
