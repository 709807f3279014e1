// Twin of timers/core/fold/panel.py: the rules and their sources are explained there.

import { touch } from './areas.js';
import { fresh } from './given.js';
import { stepsFirst } from '../base/corrections.js';
import { standing } from './order.js';
import { silenced, snoozed } from './silence.js';
import { bothLaid, putInOrder } from './duplicates.js';
import * as finishing from './finishing.js';

export function fold(acts) {
  const stand = stepsFirst(standing(acts));
  const births = stand.filter((act) => act.kind === 'panel_added').slice(0, 1);
  const state = { name: '', job: '', added_at: null, away_at: null, steps: [], films: [], surfaces: [], quiet: {}, taken: null };
  const found = new Found();
  for (const act of births.concat(stand.filter((act) => act.kind !== 'panel_added'))) RULES[act.kind]?.(state, act, found);
  state.steps = found.order.map((id) => found.steps.get(id));
  putInOrder(state.films);
  return state;
}

export const current = (state) => finishing.steps(state).find((step) => step.done_at === null) ?? null;

class Found {
  steps = new Map();
  order = [];
  films = new Map();
  sanded = new Map();

  putIn(steps, before = null) {
    const more = steps.filter((step) => !this.steps.has(step.id));
    this.place(more.map((step) => step.id), before);
    for (const step of more) this.steps.set(step.id, fresh(step));
  }

  place(ids, before) {
    this.order.splice(this.steps.has(before) ? this.order.indexOf(before) : this.order.length, 0, ...ids);
  }

  take(id) {
    this.order.splice(this.order.indexOf(id), 1);
  }

  named({ films }) {
    return [...new Set(films)].flatMap((id) => this.films.get(id) ?? []);
  }
}

const RULES = {
  __proto__: null, // a kind named like something that every object has is unknown too
  panel_added: added,
  panel_named: named,
  step_added: (state, act, found) => found.putIn([act.step], act.before),
  step_dropped: stepDropped,
  step_moved: stepMoved,
  sent_back: (state, act, found) => found.putIn(act.steps, act.before),
  film_laid: filmLaid,
  found_ready: foundReady,
  found_not_ready: foundNotReady,
  step_done: stepDone,
  surface_read: surfaceRead,
  surface_ended: surfaceEnded,
  both_laid: (state, act, found) => bothLaid(found.named(act), act),
  ring_silenced: silenced,
  ring_snoozed: snoozed,
  panel_taken: (state, { by, at }) => (state.taken = { by, note: '', at, from: null }),
  panel_handed: (state, { to, note = '', at, who = null }) => (state.taken = { by: to, note, at, from: who }),
  panel_let_go: (state) => (state.taken = null),
  panel_put_away: (state, act) => (state.away_at = act.at),
  panel_brought_back: (state) => (state.away_at = null),
};

function added(state, act, found) {
  named(state, act);
  state.added_at = act.at;
  found.putIn(act.steps);
}

function named(state, { name, job = '', choices }) {
  Object.assign(state, { name, job, ...(choices && { choices: { ...state.choices, ...choices } }) });
}

function stepDropped(state, { step }, found) {
  if (found.steps.delete(step)) found.take(step);
  else if (finishing.IDS.includes(step)) (state.after ??= {})[step] = null;
}

function stepMoved(state, { step, before = null }, found) {
  if (!found.steps.has(step) || before === step) return;
  found.take(step);
  found.place([step], before);
}

function filmLaid(state, act, found) {
  const { film, step: stepId = null, area = '', coat, at, product, sheet, who = null } = act;
  const laid = { id: film, step: stepId, area, coat, laid_at: at, product, sheet, sanded: [], ready: [], ask: {}, who };
  if (act.corrected) laid.corrected = act.corrected;
  state.films.push(laid);
  found.films.set(film, [...(found.films.get(film) ?? []), laid]);
  const step = found.steps.get(stepId);
  if (!step) return;
  step.laid = Math.max(step.laid + 1, act.coats_on ?? 0);
  if (['fill', 'coat'].includes(step.do) && step.laid >= step.coats) step.done_at ??= at;
}

function foundReady(state, act, found) {
  for (const film of found.named(act)) {
    if (!film.ready.includes(act.gate)) film.ready.push(act.gate);
  }
}

function foundNotReady(state, act, found) {
  for (const film of found.named(act)) {
    film.ready = film.ready.filter((gate) => gate !== act.gate);
    film.ask[act.gate] = act.ask_at;
  }
}

function stepDone(state, act, found) {
  const step = found.steps.get(act.step);
  if (!step && finishing.IDS.includes(act.step)) {
    state.after ??= {};
    if (state.after[act.step] !== null) state.after[act.step] = act.at;
  }
  if (!step || step.done_at !== null) return;
  step.done_at = act.at;
  if (step.do !== 'sand') return;
  for (const film of state.films.slice(found.sanded.get(step.area) ?? 0)) {
    if (touch(film.area, step.area)) film.sanded.push(step.area);
  }
  found.sanded.set(step.area, state.films.length);
}

function surfaceRead(state, act) {
  surfaceEnded(state, act);
  const { at, until_ms: until = null, temp_dc: temp } = act;
  const takes = [act.warm_ms ?? 0, act.cool_ms ?? 0];
  state.surfaces.push([at, until, temp, ...(takes.some(Boolean) ? takes : [])]);
}

function surfaceEnded({ surfaces }, { at }) {
  const last = surfaces.at(-1);
  if (last && (last[1] === null || last[1] > at)) last[1] = at;
}
