// Twin of timers/core/acts.py: the rules and their sources are explained there.

import { EXACT, ODD, Refused, ids, number, oneOf, text, wholeNumber } from './check.js';
import { checkDoc, checkSheet, checkSteps } from './doc.js';

export const EARLIEST_MS = 1_577_836_800_000;
export const AHEAD_MS = 48 * 3_600_000;
export const ASK_MS = 30 * 86_400_000;
export const LARGEST = 32_000;
export const DEEPEST = 20;

const LAST_MS = 253_402_300_799_999;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const ON = /^(air|(panel|product|route):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;
const KIND = /^[a-z][a-z_]{0,39}$/;

export function newId(atMs, random) {
  const bytes = [...random];
  bytes[0] = (bytes[0] & 0x0f) | 0x70;
  bytes[2] = (bytes[2] & 0x3f) | 0x80;
  const hex = (value, places) => value.toString(16).padStart(places, '0');
  const said = hex(atMs, 12) + bytes.map((byte) => hex(byte, 2)).join('');
  return said.replace(/^(.{8})(.{4})(.{4})(.{4})/, '$1-$2-$3-$4-');
}

export const isId = (value) => typeof value === 'string' && UUID.test(value);

export function refusal(act, nowMs) {
  try {
    check(act, nowMs);
  } catch (why) {
    if (why instanceof Refused) return why.message;
    throw why;
  }
  return '';
}

function check(act, nowMs) {
  refuseUnless(isBox(act) && isId(act.id), 'This tap has no proper number of its own.');
  const all = leaves(act, 1);
  const most = [...JSON.stringify(act)].length;
  refuseUnless(most <= LARGEST, 'This tap holds more words than can be kept.');
  refuseUnless(isText(act.kind, KIND), 'This tap does not say what was done.');
  refuseUnless(isText(act.on, ON), 'This tap does not say what it was done to.');
  checkMoment(act.at, nowMs);
  const [where, checkFields] = FIELDS[act.kind] ?? ['', nothing];
  refuseUnless(!where || act.on.split(':')[0] === where, 'This tap was made on the wrong kind of thing.');
  checkFields(act);
  refuseUnless(all.every(lasts), 'This tap holds a sign or a number that cannot be kept. Nothing was saved.');
}

function refuseUnless(good, why) {
  if (!good) throw new Refused(why);
}

const isBox = (value) => typeof value === 'object' && value !== null && !Array.isArray(value);

const isText = (value, shape) => typeof value === 'string' && shape.test(value);

function leaves(value, depth) {
  refuseUnless(depth <= DEEPEST, 'This tap holds more words than can be kept.');
  if (typeof value !== 'object' || value === null) return [value];
  const inside = Object.values(value).flatMap((one) => leaves(one, depth + 1));
  return Array.isArray(value) ? inside : inside.concat(Object.keys(value));
}

const lasts = (leaf) => (typeof leaf === 'string' ? !ODD.test(leaf) : Math.abs(leaf) <= EXACT);

function checkMoment(atMs, nowMs) {
  number('The moment of this tap', atMs, 0, LAST_MS);
  const then = "Set the phone's clock, then say when it was.";
  refuseUnless(atMs >= EARLIEST_MS, `This tap says it happened before 2020. ${then}`);
  refuseUnless(atMs <= nowMs + AHEAD_MS, `This tap says it happens more than two days from now. ${then}`);
}

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

function filmLaid({ film, step = null, product, coat, area = '', sheet }) {
  ids('The film', [film]);
  if (step !== null) ids('The step', [step]);
  ids('The product', [product]);
  number('The coat', coat, 1, 99);
  text('The area', area, 0, 200);
  checkSheet(sheet);
}

function found({ kind, at, films, gate, ask_at: askAt }) {
  ids('The film', films);
  oneOf('The gate', gate, ['flash', 'sand', 'handle', 'cure']);
  if (kind !== 'found_not_ready') return;
  wholeNumber('The time to ask again', askAt);
  const soon = askAt >= at && askAt <= at + ASK_MS;
  refuseUnless(soon, 'The time to ask again must be within a month. Nothing was saved.');
}

function target(act) {
  ids('The tap to undo', [act.act]);
}

function airRead({ temp_dc: temp, rh_pm: humidity = null }) {
  number('The temperature', temp, -400, 600, 10, '°C');
  if (humidity !== null) number('The humidity', humidity, 0, 1000, 10, '%');
}

function doc({ kind, doc: written }) {
  checkDoc(kind, written);
}

function nothing() {
  // nothing beyond what every act holds
}
