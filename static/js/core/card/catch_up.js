// Twin of timers/core/card/catch_up.py: the rules and their sources are explained there.

import { CORRECTED } from '../base/corrections.js';
import { inOrder, standing, takenOut } from '../fold/order.js';
import * as panel from '../fold/panel.js';
import * as shelf from '../fold/shelf.js';
import { pair } from '../fold/duplicates.js';

export const ANSWERS = ['twice', 'rivals'];

export function lines(on, before, after, own) {
  const known = new Set(before.map((act) => act.id));
  const fresh = inOrder(after).filter((act) => !known.has(act.id) && act.who !== own);
  if (!fresh.length) return [];
  if (on.startsWith('product:')) {
    const more = shelf.fold(after).rivals.length > shelf.fold(before).rivals.length;
    return more ? [line(on, 'rivals', 1)] : [];
  }
  return on.startsWith('panel:') ? ofPanel(on, before, after, fresh, own) : [];
}

function ofPanel(on, before, after, fresh, own) {
  const [was, now] = [panel.fold(before), panel.fold(after)];
  const ids = new Set(fresh.map((act) => act.id));
  const stand = standing(after).filter((act) => ids.has(act.id));
  const [outNow, outBefore] = [takenOut(after), takenOut(before)];
  const isOut = ({ id, kind }) => kind === 'film_laid' && outNow.has(id) && !outBefore.has(id) && fresh.some((one) => one.act === id);
  const out = before.filter(isOut);
  const count = (kind) => stand.filter((act) => act.kind === kind).length;
  const voids = out.filter((act) => foundReady(before, act.film, own)).length;
  const films = stand.map((act) => act.film);
  const asks = pair(now).some((film) => films.includes(film.id));
  const [stood, stands] = [was, now].map((one) => one.added_at !== null);
  const called = stood && stands && now.name !== was.name;
  const lost = called && namer(before) === own && namer(after) !== own;
  const found = [
    ['twice', asks],
    ['ready_void', voids],
    ['name_lost', lost],
    ['gone', stood && !stands],
    ['put_away', stands && was.away_at === null && now.away_at !== null],
    ['brought_back', stands && was.away_at !== null && now.away_at === null],
    ['added', stands && !stood],
    ['renamed', called && !lost],
    ['film_out', out.length - voids],
    ['laid', count('film_laid')],
    ['done', count('step_done')],
    ['corrected', fresh.filter(({ id, kind }) => kind === CORRECTED && !outNow.has(id)).length],
  ];
  const name = now.name || was.name;
  return found.filter(([, n]) => n).map(([kind, n]) => line(on, kind, Number(n), name, called ? was.name : ''));
}

const line = (on, kind, n, name = '', yours = '') => ({ on, kind, n, name, yours });

function namer(acts) {
  const of = (kind) => standing(acts).filter((act) => act.kind === kind);
  const named = of('panel_named');
  return (named.length ? named : of('panel_added')).at(-1)?.who ?? null;
}

function foundReady(acts, film, own) {
  const ready = standing(acts).filter((act) => act.kind === 'found_ready' && act.who === own);
  return ready.some((act) => act.films.includes(film));
}
