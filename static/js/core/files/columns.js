// Twin of timers/core/files/columns.py: the rules and their sources are explained there.

import { bared, date, decimal, guarded, lines, number, pointsOf, trimmed } from './cells.js';
import { Refused } from '../base/check.js';
import { isBox } from '../base/refuse.js';
import { GATES } from '../acts/schema.js';
import { OF_VARIANT } from '../fold/shelf.js';
import { t } from '../base/translate.js';

export const VERSION = 1;
export const UNDER = { variant: 'variants', coat: 'coat_gates' };
export const BANDS = ['band_from_c', 'band_to_c'];

const four = (tail) => [1, 2, 3, 4].map((n) => `part_${n}${tail}`);
const FIELDS = [
  [['name'], ['name'], 'text'],
  [['id'], ['id'], 'text'],
  [['cls'], ['class'], 'word'],
  [['uses'], ['uses'], 'words'],
  [['use'], ['use'], 'word'],
  [['typical'], ['typical'], 'yes'],
  [['sheet_date'], ['sheet_date'], 'date'],
  [['lowest_dc'], ['lowest_c'], 10],
  [['highest_dc'], ['highest_c'], 10],
  [['cure_lowest_dc'], ['cure_lowest_c'], 10],
  [['cure_highest_dc'], ['cure_highest_c'], 10],
  [['double_dc'], ['doubles_every_c'], 10],
  [['sheet_rh_pm'], ['sheet_rh_pct'], 10],
  [['highest_rh_pm'], ['highest_rh_pct'], 10],
  [['band_dc'], BANDS, 10],
  [['coat'], ['coat'], 1],
  ...GATES.map((gate) => [['gates', gate], [gate], 'lines']),
  [['ratio', 'by'], ['ratio_by'], 'word'],
  [['ratio', 'parts'], four(''), 1],
  [['ratio', 'names'], four('_name'), 'text'],
  [['densities_g_l'], four('_g_l'), 1],
  [['vocs_g_l'], four('_solvent_g_l'), 1],
  [['waters_g_l'], four('_water_g_l'), 1],
  [['hardener'], ['hardener'], 'word'],
  [['in_can'], ['in_can'], 'yes'],
  [['hardener_span_pm'], ['hardener_from_pct', 'hardener_to_pct'], 10],
  [['ribbon', 'mm'], ['ribbon_mm'], 1],
  [['ribbon', 'disc_mm'], ['ribbon_disc_mm'], 1],
  [['solids_pm'], ['solids_pct'], 10],
  [['solids_of'], ['solids_of'], 'word'],
  [['hardener_solids_pm'], ['hardener_solids_pct'], 10],
  [['film_um'], ['film_um'], 1],
  [['coats'], ['coats'], 1],
  [['tip_um'], ['tip_mm'], 1000],
  [['before_p'], ['paper_before_p'], 1],
  [['after_p'], ['paper_after_p'], 1],
  [['lead_ms'], ['warn_before_shut_min'], 60_000],
  [['notes'], ['notes'], 'text'],
];
export const COLUMNS = ['sandtime_shelf', 'row', ...FIELDS.flatMap(([, columns]) => columns), 'other'];
const OF_PARTS = ['_g_l', '_solvent_g_l', '_water_g_l'].flatMap(four);
const OWN = [...FIELDS.filter(([[key]]) => OF_VARIANT.includes(key)).map(([, [column]]) => column), ...OF_PARTS];
const HELD = {
  __proto__: null,
  product: COLUMNS.filter((column) => ![...BANDS, 'coat', 'use'].includes(column)),
  variant: ['name', 'id', 'use', ...BANDS, ...GATES, 'ratio_by', ...four(''), ...four('_name'), ...OWN],
  coat: ['coat', ...GATES],
};
const YES = { __proto__: null, yes: true, true: true, 1: true, no: false, false: false, 0: false };

export function cellsOf(row, box) {
  const cells = { sandtime_shelf: String(VERSION), row };
  for (const [path, columns, kind] of FIELDS) {
    if (!HELD[row].includes(columns[0])) continue;
    written(columns, kind, at(box, path)).forEach((cell, n) => (cells[columns[n]] = cell));
  }
  const rest = left(box, said(row, cells));
  return Object.keys(rest).length ? { ...cells, other: jsonOf(rest) } : cells;
}

export function boxOf(row, cells) {
  if (!(row in HELD)) {
    const told = { product: 'product', variant: 'variant', coat: 'coat', row };
    throw new Refused(t('The row is a {product}, a {variant} or a {coat} (you typed {row}). Nothing was saved.', told));
  }
  if (cells['']) throw new Refused(t('This row has a cell beyond the last column. Nothing was saved.'));
  const box = said(row, cells);
  if (!trimmed(cells.other ?? '')) return box;
  const other = parsed(cells.other);
  if (isBox(other)) return filled(box, other);
  throw new Refused(t('{column} is JSON like {like}, or empty. Nothing was saved.', { column: 'other', like: '{"key": 1}' }));
}

export const jsonOf = (value) => JSON.stringify(value);

export function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    return null;
  }
}

function said(row, cells) {
  const box = row === 'variant' ? {} : { gates: {} };
  for (const [path, columns, kind] of FIELDS) {
    const given = columns.map((column) => cells[column] ?? '');
    const full = given.map((cell) => (kind === 'text' ? cell : trimmed(cell)) !== '');
    if (!full.includes(true)) continue;
    const column = columns[full.indexOf(true)];
    if (!HELD[row].includes(column)) throw new Refused(t('A {row} has no {column}. Nothing was saved.', { row, column }));
    const last = full.lastIndexOf(true) + 1;
    if (full.slice(0, last).includes(false)) throw hole(columns[full.indexOf(false)]);
    const values = given.slice(0, last).map((cell, n) => valueOf(columns[n], kind, cell));
    const held = path.length === 2 ? (box[path[0]] ??= {}) : box;
    held[path.at(-1)] = columns.length === 1 ? values[0] : values;
  }
  return box;
}

const hole = (column) => new Refused(t('{column} is empty and the next one is not. Nothing was saved.', { column }));

function written(columns, kind, value) {
  const values = columns.length === 1 ? [value] : value;
  if (!Array.isArray(values) || values.length > columns.length) return [];
  const cells = values.map((one) => cellOf(kind, one));
  try {
    const same = cells.every(Boolean) && jsonOf(cells.map((cell) => valueOf('', kind, cell))) === jsonOf(values);
    return same ? cells : [];
  } catch (why) {
    if (why instanceof Refused) return [];
    throw why;
  }
}

function cellOf(kind, value) {
  if (kind === 'yes') return typeof value === 'boolean' ? (value ? 'yes' : 'no') : '';
  if (kind === 'lines') return lines(value);
  if (kind === 'words') return Array.isArray(value) ? value.filter((one) => typeof one === 'string').join(' ') : '';
  if (typeof kind === 'number') return decimal(value, kind);
  return typeof value === 'string' ? guarded(value) : '';
}

function valueOf(column, kind, cell) {
  if (kind === 'lines') return pointsOf(column, cell);
  if (typeof kind === 'number') return number(column, cell, kind);
  const text = bared(cell);
  const word = trimmed(text).toLowerCase();
  if (kind === 'yes' && !(word in YES)) {
    throw new Refused(t('{column} is {yes} or {no}. Nothing was saved.', { column, yes: 'yes', no: 'no' }));
  }
  return { text, date: date(text), word, words: word.split(' ').filter(Boolean), yes: YES[word] }[kind];
}

const at = (box, path) => path.reduce((held, key) => (isBox(held) && Object.hasOwn(held, key) ? held[key] : null), box);

function left(full, told) {
  const pairs = Object.entries(full).map(([key, value]) => {
    if (!Object.hasOwn(told, key)) return [key, value];
    const more = isBox(value) && isBox(told[key]) ? left(value, told[key]) : {};
    return [key, Object.keys(more).length ? more : undefined];
  });
  return Object.fromEntries(pairs.filter(([, value]) => value !== undefined));
}

function filled(box, other) {
  const both = Object.keys(box).filter((key) => isBox(box[key]) && Object.hasOwn(other, key) && isBox(other[key]));
  return { ...other, ...box, ...Object.fromEntries(both.map((key) => [key, filled(box[key], other[key])])) };
}
