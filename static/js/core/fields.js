// Twin of timers/core/fields.py: the rules and their sources are explained there.

import { ids, number, oneOf, text, wholeNumber } from './check.js';
import { checkDoc, checkSheet, checkSteps } from './doc.js';
import * as people from './people.js';
import { refuseUnless } from './refuse.js';

export const ASK_MS = 30 * 86_400_000;
export const SNOOZE_MS = 86_400_000;
export const EXPECT_MS = 7 * 86_400_000;
export const MOST_POURED = 1_000_000;
export const PANEL = /^panel:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const CUP = /^cup:[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;

const GUN_SPANS = {
  pressure_kpa: ['The pressure at the gun', 10, 1000, 1, 'kPa'],
  tip_um: ['The tip', 300, 4000, 1000, 'mm'],
  turns_tenths: ['The turns of the fluid knob', 0, 100, 10, 'turns'],
  distance_mm: ['The distance to the panel', 30, 600, 1, 'mm'],
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
  text('The route', route, 0, 200);
  checkSteps(steps);
}

function panelNamed({ name, job = '' }) {
  text("The panel's name", name, 1, 200);
  text('The job', job, 0, 200);
}

function stepAdded(act) {
  checkSteps([act.step]);
  place(act);
}

function stepNamed(act) {
  ids('The step', [act.step]);
}

function stepMoved(act) {
  stepNamed(act);
  place(act);
}

function sentBack(act) {
  const { steps, area = '', why = '' } = act;
  checkSteps(steps);
  text('The area', area, 0, 200);
  text('The reason', why, 0, 200);
  place(act);
}

function place({ before = null }) {
  if (before !== null) ids('The place of the step', [before]);
}

function filmLaid({ film, step = null, product, coat, area = '', sheet, cup = null }) {
  ids('The film', [film]);
  if (step !== null) ids('The step', [step]);
  ids('The product', [product]);
  number('The coat', coat, 1, 99);
  text('The area', area, 0, 200);
  checkSheet(sheet);
  if (cup !== null) thing('The cup', cup, CUP);
}

function thing(what, value, shape) {
  refuseUnless(typeof value === 'string' && shape.test(value), `${what} is missing. Nothing was saved.`);
}

function cupMixed({ product, sheet, by, amounts, names, for: panels = [] }) {
  ids('The product', [product]);
  checkSheet(sheet);
  oneOf('The way of measuring', by, ['volume', 'weight']);
  const some = Array.isArray(amounts) && amounts.length >= 1 && amounts.length <= 12;
  refuseUnless(some, 'A cup holds 1 to 12 parts. Nothing was saved.');
  for (const much of amounts) poured('A part of the mix', much, by);
  refuseUnless(amounts.some((much) => much > 0), 'Nothing was poured into the cup. Nothing was saved.');
  const named = Array.isArray(names) && names.length === amounts.length;
  refuseUnless(named, 'Each part of the mix needs a name. Nothing was saved.');
  for (const name of names) text("The part's name", name, 1, 60);
  const few = Array.isArray(panels) && panels.length <= 50;
  refuseUnless(few, 'A cup may be meant for 50 panels. Nothing was saved.');
  for (const panel of panels) thing('A panel the cup is meant for', panel, PANEL);
}

function poured(what, much, by) {
  number(what, much, 0, MOST_POURED, ...(by === 'weight' ? [10, 'g'] : [1, 'ml']));
}

function cupUsed({ panel, film = null }) {
  thing('The panel', panel, PANEL);
  if (film !== null) ids('The film', [film]);
}

function cupEmptied({ left }) {
  number('What is left in the cup', left, 0, MOST_POURED);
}

function found({ kind, at, films, gate, ask_at: askAt }) {
  ids('The film', films);
  oneOf('The gate', gate, ['flash', 'sand', 'handle', 'cure']);
  if (kind !== 'found_not_ready') return;
  wholeNumber('The time to ask again', askAt);
  const soon = askAt >= at && askAt <= at + ASK_MS;
  refuseUnless(soon, 'The time to ask again must be within a month. Nothing was saved.');
}

function both({ films }) {
  ids('The coat', films);
}

function target(act) {
  ids('The tap to undo', [act.act]);
}

function airRead({ temp_dc: temp, rh_pm: humidity = null }) {
  number('The temperature', temp, -400, 600, 10, '°C');
  if (humidity !== null) number('The humidity', humidity, 0, 1000, 10, '%');
}

function airExpected({ at, temp_dc: temp, for_ms: moment }) {
  number('The temperature', temp, -400, 600, 10, '°C');
  wholeNumber('The time it is expected for', moment);
  const soon = moment > at && moment <= at + EXPECT_MS;
  refuseUnless(soon, 'A temperature can be expected for the next seven days. Nothing was saved.');
}

function surfaceRead({ at, temp_dc: temp, until_ms: until = null }) {
  number("The panel's temperature", temp, -400, 1500, 10, '°C');
  if (until === null) return;
  wholeNumber('The end of the lamp', until);
  refuseUnless(until > at && until <= at + EXPECT_MS, 'A lamp or a bake ends within seven days. Nothing was saved.');
}

function ringSilenced({ on, ring }) {
  text('The ring', ring, 1, 500);
  refuseUnless(ring.startsWith(`${on} `), 'This ring is of something else. Nothing was saved.');
}

function ringSnoozed(act) {
  ringSilenced(act);
  const { at, until_ms: until } = act;
  wholeNumber('The time to ring again', until);
  const soon = until > at && until <= at + SNOOZE_MS;
  refuseUnless(soon, 'A ring may be put off for a day at the most. Nothing was saved.');
}

function doc({ kind, doc: written, over = null }) {
  checkDoc(kind, written);
  const several = over !== null && !(Array.isArray(over) && over.length === 0);
  if (several) ids('The sheet this was written over', over);
}

function gunSet(act) {
  gunNamed(act);
  for (const [key, [what, ...span]] of Object.entries(GUN_SPANS)) {
    if ((act[key] ?? null) !== null) number(what, act[key], ...span);
  }
  if ((act.fan ?? null) !== null) text('The fan', act.fan, 0, 60);
}

function gunNamed({ gun }) {
  text("The gun's name", gun, 1, 60);
}

function nothing() {
  // nothing beyond what every act holds
}
