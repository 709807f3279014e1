// Twin of timers/core/base/check.py: the rules and their sources are explained there.

import { decimal, t } from './translate.js';

export const EXACT = Number.MAX_SAFE_INTEGER;
export const ID = /^[0-9a-zA-Z.-]{1,64}$/;
export const ODD = /[\x00-\x08\x0b-\x1f\ud800-\udfff]/u;
export const SEEN = /[^\s\x85]/u;

export class Refused extends Error {}

export function text(what, value, least, most) {
  if (typeof value !== 'string' || ODD.test(value)) {
    throw new Refused(t('{what} has a sign that cannot be kept. Nothing was saved.', { what: t(what) }));
  }
  if (least && !SEEN.test(value)) throw new Refused(t('{what} is empty. Nothing was saved.', { what: t(what) }));
  const typed = [...value].length;
  if (typed <= most) return;
  throw new Refused(t('{what} may have {most} letters (you typed {typed}). Nothing was saved.', { what: t(what), most, typed }));
}

export function number(what, value, least, most, scale = 1, unit = '') {
  wholeNumber(what, value);
  if (value < least || value > most) throw beyond(what, ...[least, most, value].map((one) => plain(one, scale)), unit);
}

export function beyond(what, least, most, value, unit = '') {
  const [low, high, given] = [least, most, value].map(decimal);
  const told = { what: t(what), low, high: unit ? `${high} ${t(unit)}` : high, given };
  return new Refused(t('{what} must be from {low} to {high} (you gave {given}). Nothing was saved.', told));
}

export function wholeNumber(what, value) {
  if (!Number.isSafeInteger(value)) throw noNumber(what);
}

export const noNumber = (what) => new Refused(t('{what} is missing or not a number. Nothing was saved.', { what: t(what) }));

export function plain(value, scale) {
  if (value % scale === 0) return String(value / scale);
  const size = Math.abs(value);
  const tenths = Math.floor(((size % scale) * 10) / scale);
  return `${value < 0 ? '-' : ''}${Math.floor(size / scale)}.${tenths}`;
}

export function ids(what, value) {
  const good = Array.isArray(value) && value.length >= 1 && value.length <= 50;
  if (!good || !value.every((one) => typeof one === 'string' && ID.test(one))) throw missing(what);
}

export const missing = (what) => new Refused(t('{what} is missing. Nothing was saved.', { what: t(what) }));

export function oneOf(what, value, allowed) {
  if (allowed.includes(value)) return;
  throw new Refused(t('{what} is none of: {allowed}. Nothing was saved.', { what: t(what), allowed: allowed.join(', ') }));
}
