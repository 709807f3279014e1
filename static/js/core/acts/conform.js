// Twin of timers/core/acts/conform.py: the rules and their sources are explained there.

import { Refused, ids, missing, number, oneOf, text, wholeNumber } from '../base/check.js';
import { PHONE } from './people.js';
import { isBox } from '../base/refuse.js';
import { RULES } from './relations.js';
import { t } from '../base/translate.js';

export const THING = /^(panel|product|route|cup):[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const DATE = /^([0-9]{4}-[0-9]{2}-[0-9]{2})?$/;

export function checkFields(about, fields) {
  for (const field of fields) {
    if (field.type === 'rule') RULES[field.rule](about);
    else if (counts(about, field)) checkValue(about[field.key], field, about);
  }
}

export function checkValue(value, field, about) {
  CHECKS[field.type](value, field, about);
  if (field.rule) RULES[field.rule](value);
}

function counts(about, { key, absent, when }) {
  if (when.length && about[when[0]] !== when[1]) return false;
  if (about[key] === undefined) return absent === 'must';
  return absent !== 'null' || about[key] !== null;
}

const CHECKS = {
  text: (value, { what, least, most }) => text(what, value, least, most),
  date(value, field) {
    text(field.what, value, field.least, field.most);
    if (!DATE.test(value)) throw refused(field);
  },
  number(value, field) {
    const { what, words, least, most, scale, unit } = field;
    if (!words) return number(what, value, least, most, scale, unit);
    wholeNumber(what, value);
    if (value < least || value > most) throw refused(field);
  },
  moment(value, field, { at }) {
    wholeNumber(field.what, value);
    if (value - at < field.least || value - at > field.most) throw refused(field);
  },
  choice(value, { what, least, choices }) {
    if (least || value !== '') oneOf(what, value, choices);
  },
  id: (value, { what }) => ids(what, [value]),
  ids(value, { what, least }) {
    if (least || !Array.isArray(value) || value.length) ids(what, value);
  },
  thing(value, { what, choices }) {
    if (typeof value !== 'string' || !THING.test(value) || !choices.includes(value.split(':')[0])) throw missing(what);
  },
  phone(value, field) {
    if (typeof value !== 'string' || !PHONE.test(value)) throw refused(field);
  },
  yes_no(value, field) {
    if (typeof value !== 'boolean') throw refused(field);
  },
  list(value, field, about) {
    if (!Array.isArray(value) || !fits(value.length, field, about)) throw refused(field);
    for (const item of value) checkValue(item, field.of[0], about);
  },
  row(value, field, about) {
    if (!Array.isArray(value) || value.length !== field.of.length) throw refused(field);
    value.forEach((item, nth) => checkValue(item, field.of[nth], about));
  },
  box(value, field) {
    const { what, least, choices, of } = field;
    if (!isBox(value) || Object.keys(value).length < least) throw refused(field);
    if (choices.length) Object.keys(value).forEach((key) => oneOf(what, key, choices));
    checkFields(value, of);
  },
  map(value, field, about) {
    const { what, choices, of } = field;
    if (!isBox(value)) throw refused(field);
    Object.keys(value).forEach((key) => oneOf(what, key, choices));
    for (const key of choices) if (Object.hasOwn(value, key)) checkValue(value[key], of[0], about);
  },
};

function fits(length, { as_many: path, least, most }, about) {
  return path.length ? length === lengthAt(about, path) : length >= least && length <= most;
}

function lengthAt(about, path) {
  const value = path.reduce((inside, key) => (isBox(inside) ? inside[key] : null), about);
  return Array.isArray(value) ? value.length : 1;
}

const refused = ({ what, words, most }) => new Refused(what ? t(words, { what: t(what) }) : t(words, { most }));
