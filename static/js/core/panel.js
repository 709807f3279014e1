// Twin of timers/core/panel.py: the rules and their sources are explained there.

import { standing } from './order.js';
import { silenced, snoozed } from './quiet.js';
import { bothLaid } from './twice.js';

export function fold(acts) {
  const stand = standing(acts);
  const births = stand.filter((act) => act.kind === 'panel_added').slice(0, 1);
  const state = { name: '', job: '', added_at: null, away_at: null, steps: [], films: [], surfaces: [], quiet: {}, taken: null };
  for (const act of births.concat(stand.filter((act) => act.kind !== 'panel_added'))) apply(state, act);
  return state;
}

export const apply = (state, act) => RULES[act.kind]?.(state, act);

export const current = (state) => state.steps.find((step) => step.done_at === null) ?? null;

export function under(state, area) {
  const touching = state.films.filter((film) => area === '' || film.area === '' || film.area === area);
  const bare = touching.filter((film, at) => !covered(film, touching.slice(at + 1), area));
  return bare.filter((film) => !isSanded(film, area));
}

const RULES = {
  __proto__: null, // a kind named like something that every object has is unknown too
  panel_added: added,
  panel_named: named,
  step_added: (state, act) => insert(state, [act.step], act.before),
  step_dropped: stepDropped,
  step_moved: stepMoved,
  sent_back: (state, act) => insert(state, act.steps, act.before),
  film_laid: filmLaid,
  found_ready: foundReady,
  found_not_ready: foundNotReady,
  step_done: stepDone,
  surface_read: surfaceRead,
  surface_ended: surfaceEnded,
  both_laid: bothLaid,
  ring_silenced: silenced,
  ring_snoozed: snoozed,
  panel_taken: (state, { by, at }) => (state.taken = { by, note: '', at, from: null }),
  panel_handed: (state, { to, note = '', at, who = null }) => (state.taken = { by: to, note, at, from: who }),
  panel_let_go: (state) => (state.taken = null),
  panel_put_away: (state, act) => (state.away_at = act.at),
  panel_brought_back: (state) => (state.away_at = null),
};

function added(state, act) {
  named(state, act);
  state.added_at = act.at;
  state.steps = act.steps.map(fresh);
}

function named(state, { name, job = '' }) {
  Object.assign(state, { name, job });
}

function stepDropped(state, act) {
  state.steps = state.steps.filter((step) => step.id !== act.step);
}

function stepMoved(state, act) {
  const moved = find(state.steps, act.step);
  if (!moved || act.before === act.step) return;
  const rest = state.steps.filter((step) => step !== moved);
  state.steps = withMore(rest, [moved], act.before);
}

function filmLaid(state, { film, step: stepId = null, area = '', coat, at, product, sheet, who = null }) {
  const blank = { sanded: [], ready: [], ask: {}, who };
  state.films.push({ id: film, step: stepId, area, coat, laid_at: at, product, sheet, ...blank });
  const step = find(state.steps, stepId);
  if (!step) return;
  step.laid += 1;
  if (['fill', 'coat'].includes(step.do) && step.laid >= step.coats) step.done_at ??= at;
}

function foundReady(state, act) {
  for (const film of namedFilms(state, act)) {
    if (!film.ready.includes(act.gate)) film.ready.push(act.gate);
  }
}

function foundNotReady(state, act) {
  for (const film of namedFilms(state, act)) {
    film.ready = film.ready.filter((gate) => gate !== act.gate);
    film.ask[act.gate] = act.ask_at;
  }
}

function stepDone(state, act) {
  const step = find(state.steps, act.step);
  if (!step || step.done_at !== null) return;
  step.done_at = act.at;
  if (step.do !== 'sand') return;
  for (const film of state.films) {
    const touched = step.area === '' || film.area === '' || film.area === step.area;
    if (touched && !film.sanded.includes(step.area)) film.sanded.push(step.area);
  }
}

function surfaceRead(state, act) {
  surfaceEnded(state, act);
  state.surfaces.push([act.at, act.until_ms ?? null, act.temp_dc]);
}

function surfaceEnded(state, { at }) {
  for (const surface of state.surfaces) if (surface[1] === null || surface[1] > at) surface[1] = at;
}

function fresh({ id, do: does, words, cls = '', coats = 1, grit = 0, area = '' }) {
  return { id, do: does, words, cls, coats, grit, area, laid: 0, done_at: null };
}

function insert(state, steps, before) {
  const more = steps.filter((step) => !find(state.steps, step.id));
  state.steps = withMore(state.steps, more.map(fresh), before);
}

function withMore(steps, more, before) {
  const at = steps.findIndex((step) => step.id === before);
  return at < 0 ? [...steps, ...more] : steps.toSpliced(at, 0, ...more);
}

const find = (steps, wanted) => steps.find((step) => step.id === wanted);

const namedFilms = (state, act) => state.films.filter((film) => act.films.includes(film.id));

const covered = (film, later, area) =>
  later.some((over) => over.area === '' || over.area === film.area || (area !== '' && over.area === area));

const isSanded = (film, area) => ['', film.area, area].some((sanded) => film.sanded.includes(sanded));
