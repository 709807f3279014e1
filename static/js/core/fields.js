// Twin of timers/core/fields.py: the rules and their sources are explained there.

import { ids, missing, number, oneOf, text, wholeNumber } from './check.js';
import { checkDoc, checkSheet, checkSteps } from './doc.js';
import * as people from './people.js';
import { refuseUnless } from './refuse.js';
import { later, t } from './tongue.js';

export const ASK_MS = 30 * 86_400_000;
export const SNOOZE_MS = 86_400_000;
export const EXPECT_MS = 7 * 86_400_000;
export const MOST_POURED = 1_000_000;
export const PANEL = /^panel:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const CUP = /^cup:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

const GUN_SPANS = {
  pressure_kpa: [later('The pressure at the gun'), 10, 1000, 1, 'kPa'],
  tip_um: [later('The tip [[of a gun]]'), 300, 4000, 1000, 'mm'],
  turns_tenths: [later('The turns of the fluid knob'), 0, 100, 10, later('turns [[of a knob]]')],
  distance_mm: [later('The distance to the panel'), 30, 600, 1, 'mm'],
};

export const expected = (kind) => FIELDS[kind] ?? null;

const FIELDS = {
  __proto__: null, // a kind named like something that every object has is unknown too
  panel_added: ['panel', panelAdded],
  panel_named: ['panel', panelNamed],
  panel_put_away: ['panel', nothing],
  panel_brought_back: ['panel', nothing],
  step_added: ['panel', stepAdded],
  step_dropped: ['panel', stepNamed],
  step_moved: ['panel', stepMoved],
  step_done: ['panel', stepNamed],
  sent_back: ['panel', sentBack],
  film_laid: ['panel', filmLaid],
  found_ready: ['panel', found],
  found_not_ready: ['panel', found],
  air_read: ['air', airRead],
  air_expected: ['air', airExpected],
  both_laid: ['panel', both],
  surface_read: ['panel', surfaceRead],
  surface_ended: ['panel', nothing],
  cup_mixed: ['cup', cupMixed],
  cup_used: ['cup', cupUsed],
  cup_emptied: ['cup', cupEmptied],
  ring_silenced: ['panel cup', ringSilenced],
  ring_snoozed: ['panel cup', ringSnoozed],
  panel_taken: ['panel', people.panelTaken],
  panel_handed: ['panel', people.panelHanded],
  panel_let_go: ['panel', nothing],
  units_chosen: ['shop', people.unitsChosen],
  shop_named: ['shop', people.shopNamed],
  phone_named: ['shop', people.phoneNamed],
  trial_told: ['shop', people.trialTold],
  gun_set: ['product', gunSet],
  gun_dropped: ['product', gunNamed],
  sheet_written: ['product', doc],
  sheet_put_away: ['product', nothing],
  sheet_brought_back: ['product', nothing],
  route_written: ['route', doc],
  route_put_away: ['route', nothing],
  route_brought_back: ['route', nothing],
  undone: ['', target],
  restored: ['', target],
};

function panelAdded(act) {
  const { route = '', steps } = act;
  panelNamed(act);
  text(later('The route'), route, 0, 200);
  checkSteps(steps);
}

function panelNamed({ name, job = '' }) {
  text(later("The panel's name"), name, 1, 200);
  text(later('The job'), job, 0, 200);
}

function stepAdded(act) {
  checkSteps([act.step]);
  place(act);
}

function stepNamed(act) {
  ids(later('The step'), [act.step]);
}

function stepMoved(act) {
  stepNamed(act);
  place(act);
}

function sentBack(act) {
  const { steps, area = '', why = '' } = act;
  checkSteps(steps);
  text(later('The area'), area, 0, 200);
  text(later('The reason'), why, 0, 200);
  place(act);
}

function place({ before = null }) {
  if (before !== null) ids(later('The place of the step'), [before]);
}

function filmLaid({ film, step = null, product, coat, area = '', sheet, cup = null }) {
  ids(later('The film'), [film]);
  if (step !== null) ids(later('The step'), [step]);
  ids(later('The product'), [product]);
  number(later('The coat'), coat, 1, 99);
  text(later('The area'), area, 0, 200);
  checkSheet(sheet);
  if (cup !== null) thing(later('The cup'), cup, CUP);
}

function thing(what, value, shape) {
  if (typeof value !== 'string' || !shape.test(value)) throw missing(what);
}

function cupMixed({ product, sheet, by, amounts, names, for: panels = [] }) {
  ids(later('The product'), [product]);
  checkSheet(sheet);
  oneOf(later('The way of measuring'), by, ['volume', 'weight']);
  const some = Array.isArray(amounts) && amounts.length >= 1 && amounts.length <= 12;
  refuseUnless(some, t('A cup holds 1 to 12 parts. Nothing was saved.'));
  for (const much of amounts) poured(later('A part of the mix'), much, by);
  refuseUnless(amounts.some((much) => much > 0), t('Nothing was poured into the cup. Nothing was saved.'));
  const named = Array.isArray(names) && names.length === amounts.length;
  refuseUnless(named, t('Each part of the mix needs a name. Nothing was saved.'));
  for (const name of names) text(later("The part's name"), name, 1, 60);
  const few = Array.isArray(panels) && panels.length <= 50;
  refuseUnless(few, t('A cup may be meant for 50 panels. Nothing was saved.'));
  for (const panel of panels) thing(later('A panel the cup is meant for'), panel, PANEL);
}

function poured(what, much, by) {
  number(what, much, 0, MOST_POURED, ...(by === 'weight' ? [10, 'g'] : [1, 'ml']));
}

function cupUsed({ panel, film = null }) {
  thing(later('The panel'), panel, PANEL);
  if (film !== null) ids(later('The film'), [film]);
}

function cupEmptied({ left }) {
  number(later('What is left in the cup'), left, 0, MOST_POURED);
}

function found({ kind, at, films, gate, ask_at: askAt }) {
  ids(later('The film'), films);
  oneOf(later('The gate'), gate, ['flash', 'sand', 'handle', 'cure']);
  if (kind !== 'found_not_ready') return;
  wholeNumber(later('The time to ask again'), askAt);
  const soon = askAt >= at && askAt <= at + ASK_MS;
  refuseUnless(soon, t('The time to ask again must be within a month. Nothing was saved.'));
}

function both({ films }) {
  ids(later('The coat'), films);
}

function target(act) {
  ids(later('The tap to undo'), [act.act]);
}

function airRead({ temp_dc: temp, rh_pm: humidity = null }) {
  number(later('The temperature'), temp, -400, 600, 10, '°C');
  if (humidity !== null) number(later('The humidity'), humidity, 0, 1000, 10, '%');
}

function airExpected({ at, temp_dc: temp, for_ms: moment }) {
  number(later('The temperature'), temp, -400, 600, 10, '°C');
  wholeNumber(later('The time it is expected for'), moment);
  const soon = moment > at && moment <= at + EXPECT_MS;
  refuseUnless(soon, t('A temperature can be expected for the next seven days. Nothing was saved.'));
}

function surfaceRead({ at, temp_dc: temp, until_ms: until = null }) {
  number(later("The panel's temperature"), temp, -400, 1500, 10, '°C');
  if (until === null) return;
  wholeNumber(later('The end of the lamp'), until);
  refuseUnless(until > at && until <= at + EXPECT_MS, t('A lamp or a bake ends within seven days. Nothing was saved.'));
}

function ringSilenced({ on, ring }) {
  text(later('The ring [[alarm]]'), ring, 1, 500);
  refuseUnless(ring.startsWith(`${on} `), t('This ring is of something else. Nothing was saved.'));
}

function ringSnoozed(act) {
  ringSilenced(act);
  const { at, until_ms: until } = act;
  wholeNumber(later('The time to ring again'), until);
  const soon = until > at && until <= at + SNOOZE_MS;
  refuseUnless(soon, t('A ring may be put off for a day at the most. Nothing was saved.'));
}

function doc({ kind, doc: written, over = null }) {
  checkDoc(kind, written);
  const several = over !== null && !(Array.isArray(over) && over.length === 0);
  if (several) ids(later('The sheet this was written over'), over);
}

function gunSet(act) {
  gunNamed(act);
  for (const [key, [what, ...span]] of Object.entries(GUN_SPANS)) {
    if ((act[key] ?? null) !== null) number(what, act[key], ...span);
  }
  if ((act.fan ?? null) !== null) text(later('The fan [[of a gun]]'), act.fan, 0, 60);
}

function gunNamed({ gun }) {
  text(later("The gun's name"), gun, 1, 60);
}

function nothing() {
  // nothing beyond what every act holds
}
