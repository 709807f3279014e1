// Twin of timers/core/files/table.py: the rules and their sources are explained there.

import { bared, csvOf, rowsOf, trimmed } from './cells.js';
import { Refused } from '../base/check.js';
import { COLUMNS, UNDER, VERSION, boxOf, cellsOf, jsonOf, parsed } from './columns.js';
import { checkDoc } from '../acts/product_schema.js';
import { isBox } from '../base/refuse.js';
import { t } from '../base/translate.js';

export const MOST = 500;
export const LARGEST = 2_000_000;
export const LIKE = '{"sandtime_shelf": 1, "products": [...]}';

export function toCsv(products) {
  const rows = products.flatMap(rowsUnder).map((cells) => COLUMNS.map((column) => cells[column] ?? ''));
  return csvOf([COLUMNS, ...rows]);
}

export function fromCsv(text) {
  return answered(() => {
    const groups = groupsOf(tableOf(fit(text)));
    count(groups);
    return groups.map(([n, cells, under]) => rowOf(n, bared(cells.name ?? ''), () => productOf(cells, under)));
  });
}

export function toJson(products) {
  return `{"sandtime_shelf": ${VERSION}, "products": [\n${products.map(jsonOf).join(',\n')}\n]}\n`;
}

export function fromJson(text) {
  return answered(() => {
    const held = parsed(fit(text).replace(/^\ufeff/, ''));
    if (!isBox(held) || !Object.hasOwn(held, 'sandtime_shelf') || !Array.isArray(held.products)) {
      throw new Refused(t('A shelf as JSON is {like}. Nothing was saved.', { like: LIKE }));
    }
    sameVersion(jsonOf(held.sandtime_shelf));
    count(held.products);
    return held.products.map((doc, at) => rowOf(at + 1, nameOf(doc), () => doc));
  });
}

export function differs(one, other) {
  const [ones, others] = [one, other].map((doc) => partsOf(full(doc)));
  const names = [...COLUMNS.slice(2, -1), ...Object.values(UNDER), 'other'];
  return names.filter((name) => sorted(ones[name]) !== sorted(others[name]));
}

function answered(read) {
  try {
    return { rows: once(read()), why: '' };
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    return { rows: [], why: why.message };
  }
}

const sorted = (value) =>
  JSON.stringify(value, (key, one) => (isBox(one) ? Object.fromEntries(Object.entries(one).sort()) : one));

function partsOf(doc) {
  const { variants, coat_gates: coats, ...own } = doc;
  const cells = cellsOf('product', own);
  return { ...cells, variants, coat_gates: coats, other: parsed(cells.other ?? '{}') };
}

function full(value) {
  if (Array.isArray(value)) return value.map(full);
  if (!isBox(value)) return value;
  const pairs = Object.entries(value).map(([key, one]) => [key, full(one)]);
  return Object.fromEntries(pairs.filter(([, one]) => ![null, ''].includes(one) && !['[]', '{}'].includes(jsonOf(one))));
}

function rowsUnder(doc) {
  const under = Object.entries(UNDER).filter(([, key]) => boxes(doc[key]));
  const kept = Object.entries(doc).filter(([key]) => !under.some(([, list]) => list === key));
  const rest = under.flatMap(([row, key]) => doc[key].map((box) => cellsOf(row, box)));
  return [cellsOf('product', Object.fromEntries(kept)), ...rest];
}

const boxes = (value) => Array.isArray(value) && value.length > 0 && value.every(isBox);

function fit(text) {
  if (text.length <= LARGEST && new TextEncoder().encode(text).length <= LARGEST) return text;
  throw new Refused(t('A table may be 2 MB. This one is larger. Nothing was saved.'));
}

function tableOf(text) {
  const [first = [], ...rows] = rowsOf(text);
  const names = first.map((name) => trimmed(name).toLowerCase());
  if (!names.includes('sandtime_shelf')) {
    const told = { column: 'sandtime_shelf' };
    throw new Refused(t('The first line must name the columns, {column} among them. Nothing was saved.', told));
  }
  names.filter(Boolean).forEach((name) => checkName(name, names));
  const table = rows.map((row, at) => [at + 2, row]).filter(([, row]) => row.some(trimmed));
  const told = table.map(([n, row]) => [n, byColumn(names, row)]);
  for (const [, cells] of told) sameVersion(trimmed(cells.sandtime_shelf ?? '') || String(VERSION));
  return told;
}

function checkName(column, names) {
  if (!COLUMNS.includes(column)) throw new Refused(t("The column {column} is none of the shelf's. Nothing was saved.", { column }));
  if (names.indexOf(column) === names.lastIndexOf(column)) return;
  throw new Refused(t('The column {column} is there twice. Nothing was saved.', { column }));
}

function byColumn(names, row) {
  const beyond = row.filter((cell, at) => trimmed(cell) && !names[at]);
  return { ...Object.fromEntries(row.map((cell, at) => [names[at] ?? '', cell])), '': beyond.join('') };
}

function sameVersion(said) {
  if (said === String(VERSION)) return;
  const told = { version: [...said].slice(0, 40).join(''), ours: VERSION };
  throw new Refused(t('This table is of version {version}. Version {ours} can be read here. Nothing was saved.', told));
}

function count(products) {
  const { length } = products;
  if (length <= MOST) return;
  const told = { most: MOST, count: length };
  throw new Refused(t('A table may have {most} products (this one has {count}). Nothing was saved.', told));
}

function groupsOf(table) {
  const groups = [];
  for (const [n, cells] of table) {
    const row = trimmed(cells.row ?? '').toLowerCase() || 'product';
    if (row === 'product' || !groups.length) groups.push([n, { ...cells, row }, []]);
    else groups.at(-1)[2].push([n, { ...cells, row }]);
  }
  return groups;
}

function productOf(cells, under) {
  const { row } = cells;
  if (Object.hasOwn(UNDER, row)) throw new Refused(t('No product stands above this {row}. Nothing was saved.', { row }));
  const doc = boxOf(row, cells);
  const pairs = Object.entries(UNDER).map(([kind, key]) => [key, under.filter(([, one]) => one.row === kind).map(boxUnder)]);
  under.filter(([, one]) => !Object.hasOwn(UNDER, one.row)).forEach(boxUnder);
  const more = Object.fromEntries(pairs);
  more.variants = more.variants.map((one, at) => (Object.hasOwn(one, 'id') ? one : { ...one, id: String(at + 1) }));
  return { ...doc, ...Object.fromEntries(Object.entries(more).filter(([, list]) => list.length)) };
}

function boxUnder([n, cells]) {
  try {
    return boxOf(cells.row, cells);
  } catch (why) {
    throw why instanceof Refused ? new Refused(t('Row {n}: {why}', { n, why: why.message })) : why;
  }
}

function rowOf(row, name, read) {
  try {
    const doc = read();
    checkDoc('sheet_written', doc);
    return { row, name, doc, why: '' };
  } catch (why) {
    if (!(why instanceof Refused)) throw why;
    return { row, name, doc: null, why: why.message };
  }
}

const nameOf = (doc) => (isBox(doc) && typeof doc.name === 'string' ? doc.name : '');

function once(rows) {
  const first = new Map();
  return rows.map((row) => {
    const { id } = row.doc ?? {};
    if (typeof id !== 'string') return row;
    if (!first.has(id)) first.set(id, row.row);
    const before = first.get(id);
    if (before === row.row) return row;
    const why = t('The same product (by its id) is in row {row}. Nothing was saved.', { row: before });
    return { ...row, doc: null, why };
  });
}
