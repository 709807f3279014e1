// Twin of timers/core/check.py: the rules and their sources are explained there.

export const EXACT = Number.MAX_SAFE_INTEGER;
export const ID = /^[0-9a-zA-Z.-]{1,64}$/;
export const ODD = /[\x00-\x08\x0b-\x1f\ud800-\udfff]/u;
export const SEEN = /[^\s\x85]/u;

export class Refused extends Error {}

export function text(what, value, least, most) {
  if (typeof value !== 'string' || ODD.test(value)) {
    throw new Refused(`${what} has a sign that cannot be kept. Nothing was saved.`);
  }
  if (least && !SEEN.test(value)) throw new Refused(`${what} is empty. Nothing was saved.`);
  const { length } = [...value];
  if (length > most) throw new Refused(`${what} may have ${most} letters (you typed ${length}). Nothing was saved.`);
}

export function number(what, value, least, most, scale = 1, unit = '') {
  wholeNumber(what, value);
  if (value >= least && value <= most) return;
  const [low, high, said] = [least, most, value].map((one) => plain(one, scale));
  const tail = unit && ` ${unit}`;
  throw new Refused(`${what} must be from ${low} to ${high}${tail} (you gave ${said}). Nothing was saved.`);
}

export function wholeNumber(what, value) {
  if (!Number.isSafeInteger(value)) throw new Refused(`${what} is missing or not a number. Nothing was saved.`);
}

export function plain(value, scale) {
  if (value % scale === 0) return String(value / scale);
  const size = Math.abs(value);
  const tenths = Math.floor(((size % scale) * 10) / scale);
  return `${value < 0 ? '-' : ''}${Math.floor(size / scale)}.${tenths}`;
}

export function ids(what, value) {
  const good = Array.isArray(value) && value.length >= 1 && value.length <= 50;
  if (!good || !value.every((one) => typeof one === 'string' && ID.test(one))) {
    throw new Refused(`${what} is missing. Nothing was saved.`);
  }
}

export function oneOf(what, value, allowed) {
  if (!allowed.includes(value)) throw new Refused(`${what} is none of: ${allowed.join(', ')}. Nothing was saved.`);
}
