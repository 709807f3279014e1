// Twin of timers/core/files/cells.py: the rules and their sources are explained there.

import { Refused, plain } from '../base/check.js';
import { decimal as spoken, t } from '../base/translate.js';
import { DAY_MS, HOUR_MS, MINUTE_MS, SECOND_MS } from '../base/units.js';

export const UNITS = { d: DAY_MS, h: HOUR_MS, min: MINUTE_MS, s: SECOND_MS, ms: 1 };
export const SEPARATORS = [',', ';', '\t'];
export const LIKE = 'at 20: 30-60 min; at 30: 15-30 min';
export const EXACT_IN_TENTHS = 100_000_000_000_000;

const RECKONED = /^'*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;
const RECKONED_INSIDE = /([;\t\r\n])(?='*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20])/g;
const GUARDED = /^'+[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;
const GUARDED_INSIDE = /([;\t\r\n])'(?='*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20])/g;
const PARTED = /[",;\t\r\n]|^ | $/;
const EDGES = /^[ \t\u00a0\u202f]+|[ \t\u00a0\u202f]+$/g;
const NUMBER = /^([+-]?)([0-9]{1,12})(?:[.,]([0-9]{1,6}))?$/;
const TWO_WAYS = /^[+-]?([1-9][0-9]{0,2})[.,]([0-9]{3})$/;
const DAY = /^([0-9]{1,2})([./])([0-9]{1,2})\2([0-9]{4})$/;
const LINE = /^(?:at )?([+-]?[0-9.,]+) ?(?:°? ?c)? ?: ?([0-9.,]+) ?(d|h|min|s|ms)?(?: ?(?:-|–|to) ?([0-9.,]+) ?(d|h|min|s|ms))?$/;

export function rowsOf(given) {
  const text = given.startsWith('\ufeff') ? given.slice(1) : given;
  const mark = separator(text);
  const unquoted = new RegExp(`[^${mark}\r\n]*`, 'y');
  const rows = [];
  let row = [];
  let at = 0;
  while (at < text.length) {
    const [cell, end] = text[at] === '"' ? quoted(text, at, mark, rows.length + 1) : plainCell(unquoted, text, at);
    row.push(cell);
    at = end;
    if (text[at] === mark) {
      at += 1;
      if (at < text.length) continue;
      row.push('');
    }
    at += text.startsWith('\r\n', at) ? 2 : 1;
    rows.push(row);
    row = [];
  }
  return rows;
}

export const csvOf = (rows) => rows.map((row) => `${row.map(cell).join(',')}\r\n`).join('');

export const guarded = (text) => (RECKONED.test(text) ? `'${text}` : text).replace(RECKONED_INSIDE, "$1'");

export function bared(given) {
  const text = given.replace(/\r\n?/g, '\n').replace(GUARDED_INSIDE, '$1');
  return GUARDED.test(text) ? text.slice(1) : text;
}

export const trimmed = (text) => text.replace(EDGES, '');

export function decimal(value, scale) {
  if (!Number.isInteger(value) || Math.abs(value) > EXACT_IN_TENTHS || (value * 10) % scale !== 0) return '';
  return plain(value, scale);
}

export function number(column, text, scale) {
  const said = trimmed(text).replaceAll('\u2212', '-');
  const found = NUMBER.exec(said);
  const two = TWO_WAYS.exec(said);
  const typed = short(text);
  if (!found) {
    const told = { column, like: spoken('12.5'), typed };
    throw new Refused(t('{column} is a number like {like} (you typed {typed}). Nothing was saved.', told));
  }
  const [, sign, whole, part = ''] = found;
  const places = part.replace(/0+$/, '');
  if (two) {
    const told = { column, small: places ? spoken(`${whole}.${places}`) : whole, large: two[1] + two[2] };
    throw new Refused(t('{column} may mean {small} or {large}: write one of them. Nothing was saved.', told));
  }
  const size = 10n ** BigInt(places.length);
  const value = BigInt(whole + places) * BigInt(scale);
  if (value % size) {
    throw new Refused(t('{column} has more places than are kept (you typed {typed}). Nothing was saved.', { column, typed }));
  }
  return Number(sign === '-' ? -(value / size) : value / size);
}

export function lines(points) {
  if (!Array.isArray(points) || !points.every(isLine)) return '';
  return points.map(line).join('; ');
}

export function pointsOf(column, text) {
  const said = text.replaceAll('\u2212', '-').toLowerCase().replace(/[ \t\u00a0\u202f]+/g, ' ');
  const parts = said.split(/[;\r\n]+/).map(trimmed);
  return parts.filter(Boolean).map((one) => point(column, one));
}

export function date(text) {
  const said = trimmed(text);
  const found = DAY.exec(said);
  if (!found) return said;
  const [, first, sign, second, year] = found;
  if (sign === '/' && Number(first) <= 12 && Number(second) <= 12 && Number(first) !== Number(second)) return said;
  const [day, month] = sign === '/' && Number(second) > 12 ? [second, first] : [first, second];
  return `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
}

function short(text) {
  const signs = [...text];
  return signs.length <= 40 ? text : `${signs.slice(0, 40).join('')} ...`;
}

function separator(text) {
  const [first] = text.split(/[\r\n]/, 1);
  const counts = SEPARATORS.map((mark) => first.split(mark).length);
  return SEPARATORS[counts.indexOf(Math.max(...counts))];
}

function plainCell(unquoted, text, at) {
  unquoted.lastIndex = at;
  const [found] = unquoted.exec(text);
  return [found, at + found.length];
}

function quoted(text, at, mark, row) {
  let end = text.indexOf('"', at + 1);
  while (end >= 0 && text[end + 1] === '"') end = text.indexOf('"', end + 2);
  if (end < 0) throw new Refused(t('A quote that opens in row {row} is never closed. Nothing was saved.', { row }));
  if (![undefined, mark, '\r', '\n'].includes(text[end + 1])) {
    throw new Refused(t('A quote in row {row} closes before its cell ends. Nothing was saved.', { row }));
  }
  return [text.slice(at + 1, end).replaceAll('""', '"'), end + 1];
}

const cell = (text) => (PARTED.test(text) ? `"${text.replaceAll('"', '""')}"` : text);

function isLine(one) {
  if (!Array.isArray(one) || one.length !== 3) return false;
  return one.every((figure) => decimal(figure, 1)) && one[1] > 0 && one[2] > 0;
}

function line([temp, least, long]) {
  const [word, size] = Object.entries(UNITS).find(([, unit]) => least % unit === 0 && long % unit === 0);
  const span = least === long ? `${least / size}` : `${least / size}-${long / size}`;
  return `at ${decimal(temp, 10)}: ${span} ${word}`;
}

function point(column, said) {
  const found = LINE.exec(said);
  if (!found || !(found[3] || found[5])) {
    const told = { column, like: LIKE, typed: short(said) };
    throw new Refused(t('{column} is lines like {like} (you typed {typed}). Nothing was saved.', told));
  }
  const [, temp, least, unit, long, last] = found;
  const shorter = number(column, least, UNITS[unit ?? last]);
  return [number(column, temp, 10), shorter, long ? number(column, long, UNITS[last]) : shorter];
}
