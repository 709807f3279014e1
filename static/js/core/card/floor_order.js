// Twin of timers/core/card/floor_order.py: the rules and their sources are explained there.

import { ASKED, CLOSING, FREE, OPENS, SHUT, STILL, TRY, WAITS } from './panel_card.js';
import { t, tn } from '../base/translate.js';
import * as words from '../base/words.js';

export const NEVER = Number.MAX_SAFE_INTEGER;
export const QUIET = [WAITS, ASKED, STILL];
const URGENT = [CLOSING, SHUT, TRY];

export const floorOrder = (rows) => rows.toSorted((a, b) => compare(key(a), key(b)));

export function handsLine(all, nowMs, zone) {
  if (!all.length) return t('No panel yet. Add the first one.');
  const loud = all.filter((row) => !(row.curing && QUIET.includes(row.mode)));
  const rows = loud.length ? loud : all;
  const [first, ...others] = floorOrder(rows.filter((row) => !(row.mode === OPENS && row.id.startsWith('cup:'))));
  if (!first) return t('Nothing runs and nothing waits for you.');
  if (URGENT.includes(first.mode) || first.mode === OPENS) {
    const more = others.filter((row) => URGENT.includes(row.mode)).length;
    const said = t('Now: {name}. {say}', { name: first.name, say: first.say });
    return more ? `${said}. ${tn('And {n} more', 'And {n} more', more)}` : said;
  }
  const free = [first, ...others].find((row) => row.mode === FREE);
  if (first.mode === WAITS || first.mode === ASKED) return until(first, free, nowMs, zone);
  if (!free) return t('Nothing runs and nothing waits for you.');
  return t('Hands free for: {name}, {step}', { name: free.name, step: free.step });
}

function until(first, free, nowMs, zone) {
  const at = moment(first);
  const then = { time: words.opens(at, nowMs, zone), then: first.name };
  if (!free) return t('Hands free for {span}, until {time}, then {then}', { span: words.span(at - nowMs), ...then });
  const { name, step } = free;
  return t('Hands free for: {name}, {step}; until {time}, then {then}', { name, step, ...then });
}

function key(row) {
  const { mode, id } = row;
  const rank = URGENT.indexOf(mode);
  if (rank >= 0) return [0, rank, (mode === TRY ? row.opens_at : row.shuts_at) ?? NEVER, id];
  if (mode === OPENS) return [1, 0, row.shuts_at ?? NEVER, id];
  if (mode === WAITS || mode === ASKED) return [2, 0, moment(row), id];
  return [3, 0, row.added_at ?? NEVER, id];
}

function compare(a, b) {
  const at = a.findIndex((one, nth) => one !== b[nth]);
  return at < 0 ? 0 : a[at] < b[at] ? -1 : 1;
}

const moment = (row) => (row.mode === ASKED ? row.ask_at : row.opens_at) ?? NEVER;
