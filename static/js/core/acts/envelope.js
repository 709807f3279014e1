// Twin of timers/core/acts/envelope.py: the rules and their sources are explained there.

import { EXACT, ODD, Refused, number } from '../base/check.js';
import { checkFields } from './conform.js';
import { PHONE } from './people.js';
import { isBox, refuseUnless } from '../base/refuse.js';
import { KINDS } from './schema.js';
import { t } from '../base/translate.js';

export const EARLIEST_MS = 1_577_836_800_000;
export const AHEAD_MS = 48 * 3_600_000;
export const LARGEST = 32_000;
export const DEEPEST = 20;

const LAST_MS = 253_402_300_799_999;
const UUID = /^[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}$/;
const ON = /^(air|shop|(panel|product|route|cup):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12})$/;
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
  refuseUnless(isBox(act) && isId(act.id), t('This tap has no proper number of its own.'));
  const all = leaves(act, 1);
  const most = [...JSON.stringify(act)].length;
  refuseUnless(most <= LARGEST, t('This tap holds more words than can be kept.'));
  refuseUnless(isText(act.kind, KIND), t('This tap does not say what was done.'));
  refuseUnless(isText(act.on, ON), t('This tap does not say what it was done to.'));
  checkMoment(act.at, nowMs);
  refuseUnless(act.who == null || isText(act.who, PHONE), t('This tap does not say which phone it was made on.'));
  const { on, fields } = KINDS[act.kind] ?? { on: [], fields: [] };
  refuseUnless(!on.length || on.includes(act.on.split(':')[0]), t('This tap was made on the wrong kind of thing.'));
  checkFields(act, fields);
  refuseUnless(all.every(lasts), t('This tap holds a sign or a number that cannot be kept. Nothing was saved.'));
}

const isText = (value, shape) => typeof value === 'string' && shape.test(value);

function leaves(value, depth) {
  if (depth > DEEPEST) throw new Refused(t('This tap holds more words than can be kept.'));
  if (typeof value !== 'object' || value === null) return [value];
  const inside = Object.values(value).flatMap((one) => leaves(one, depth + 1));
  return Array.isArray(value) ? inside : inside.concat(Object.keys(value));
}

const lasts = (leaf) => (typeof leaf === 'string' ? !ODD.test(leaf) : Math.abs(leaf) <= EXACT);

function checkMoment(atMs, nowMs) {
  number(t('The moment of this tap'), atMs, 0, LAST_MS);
  const late = atMs >= EARLIEST_MS;
  refuseUnless(late, t("This tap says it happened before 2020. Set the phone's clock, then say when it was."));
  const near = atMs <= nowMs + AHEAD_MS;
  refuseUnless(near, t("This tap says it happens more than two days from now. Set the phone's clock, then say when it was."));
}
