// Twin of timers/core/face.py: the rules and their sources are explained there.

import * as film from './film.js';
import { called } from './house.js';
import * as panel from './panel.js';
import { asked } from './twice.js';
import { DAY_MS, whole } from './units.js';
import * as words from './words.js';

export const WAITS = 'wait';
export const OPENS = 'open';
export const CLOSING = 'closing';
export const SHUT = 'shut';
export const TRY = 'try';
export const FREE = 'free';
export const STILL = 'still';
export const ASKED = 'asked';
export const FINISHED = 'finished';
export const STATE_WORDS = {
  [WAITS]: 'Wait',
  [OPENS]: 'Open',
  [CLOSING]: 'Closing',
  [SHUT]: 'Shut',
  [TRY]: 'Try it',
  [FREE]: 'Your hands',
  [STILL]: 'Stands still',
  [ASKED]: 'Wait',
  [FINISHED]: 'All done',
};

export function face(state, times, trace, nowMs, zone, unit = 'c', phones = {}, own = '') {
  const mode = modeOf(state, times, trace, nowMs);
  const step = panel.current(state);
  return {
    name: state.name,
    job: state.job,
    state: mode,
    word: STATE_WORDS[mode],
    step: stepWords(step),
    place: place(state, step),
    say: mode === STILL ? standingStill(step, times, trace, nowMs, zone, unit) : sentence(mode, step, times, nowMs, zone),
    left: left(mode, times, nowMs),
    strip: strip(mode, times, nowMs, zone),
    note: times.gate && mode !== FREE ? film.notes(times, trace, nowMs, 'laid', unit) : '',
    taken: takenWords(state.taken, phones, own),
    laid: laidWords(state, step, nowMs, zone),
    buttons: buttons(mode, step),
    main: mainWords(mode, step),
    ...asked(state, nowMs, zone),
  };
}

export function modeOf(state, times, trace, nowMs) {
  const { gate, opens_at: opens, shuts_at: shuts, ask_at: ask } = times;
  if (panel.current(state) === null) return FINISHED;
  if (!gate) return FREE;
  if (shuts !== null && nowMs >= shuts) return SHUT;
  if (times.ready) return gate === 'sand' ? FREE : openMode(state, times, nowMs);
  if (opens === null) return STILL;
  if (nowMs < opens) return film.tooCold(times, trace, nowMs) ? STILL : WAITS;
  if (ask !== null && nowMs < ask) return ASKED;
  return gate === 'sand' ? TRY : openMode(state, times, nowMs);
}

export function nextAt(state, times, nowMs) {
  const moments = [times.opens_at, times.shuts_at, times.ask_at, film.closingAt(state, times)];
  const ahead = moments.filter((moment) => moment !== null && moment > nowMs);
  return ahead.length ? Math.min(...ahead) : null;
}

export function stepWords(step) {
  if (step === null) return 'Every step is done';
  const many = step.do === 'coat' && step.coats > 1;
  const coat = many ? `, coat ${Math.min(step.laid + 1, step.coats)} of ${step.coats}` : '';
  return `${step.words}${coat}${step.area ? ` (${step.area})` : ''}`;
}

export function buttons(mode, step) {
  if (mode === FINISHED) return ['away'];
  if (isLaying(step)) {
    return mode === SHUT ? ['scuff', 'lay'] : [OPENS, CLOSING].includes(mode) ? ['lay', 'notyet'] : ['lay'];
  }
  if (step.do === 'sand' && mode !== FREE) return mode === TRY ? ['ready', 'notyet'] : ['ready'];
  return step.do === 'clean' ? ['done'] : ['done', 'back'];
}

export function mainWords(mode, step) {
  if (step === null || !isLaying(step)) return '';
  const verb = [WAITS, SHUT, STILL, ASKED].includes(mode) ? 'Lay anyway' : 'Lay';
  return `${verb}: ${step.do === 'coat' ? `coat ${step.laid + 1}` : step.words}`;
}

export function strip(mode, times, nowMs, zone) {
  const { laid_at: laid, opens_at: opens, shuts_at: shuts } = times;
  if (!times.gate || laid === null) return { shape: 'none', now: 0, from: '', opens: '', shuts: '' };
  return {
    shape: opens === null ? 'still' : shuts === null ? 'opens' : 'window',
    now: nowMark(laid, opens, shuts, nowMs),
    from: words.shuts(laid, nowMs, zone),
    opens: opens === null ? '' : opening(opens, nowMs, zone),
    shuts: shuts === null ? '' : words.shuts(shuts, nowMs, zone),
  };
}

const isLaying = (step) => step.do === 'fill' || step.do === 'coat';

const opening = (opens, nowMs, zone) => (nowMs < opens ? words.opens : words.shuts)(opens, nowMs, zone);

function openMode(state, times, nowMs) {
  const closing = film.closingAt(state, times);
  return closing === null || nowMs < closing ? OPENS : CLOSING;
}

function nowMark(laid, opens, shuts, nowMs) {
  if (opens === null) return 0;
  if (nowMs < opens) return along(laid, opens, nowMs, 0, 400);
  if (shuts === null || shuts <= opens) return along(opens, opens + DAY_MS, nowMs, 400, 1000);
  if (nowMs < shuts) return along(opens, shuts, nowMs, 400, 880);
  return along(shuts, shuts + DAY_MS, nowMs, 880, 1000);
}

function along(begin, end, nowMs, low, high) {
  if (nowMs <= begin || end <= begin) return low;
  return nowMs >= end ? high : low + whole(((high - low) * (nowMs - begin)) / (end - begin));
}

function place(state, step) {
  const count = state.steps.length;
  return step === null ? `${count} of ${count} steps` : `Step ${state.steps.indexOf(step) + 1} of ${count}`;
}

function sentence(mode, step, times, nowMs, zone) {
  if (mode === FINISHED) return 'Put it away, or add a step';
  const what = times.gate === 'sand' ? 'Sand' : filmWords(step);
  const opens = times.opens_at === null ? '' : words.opens(times.opens_at, nowMs, zone);
  const shuts = times.shuts_at === null ? '' : words.shuts(times.shuts_at, nowMs, zone);
  const until = shuts && `, until ${shuts}`;
  if (mode === WAITS) return waiting(what, times, opens, shuts);
  if (mode === ASKED) return `Not yet. Try again at ${words.opens(times.ask_at, nowMs, zone)}`;
  if (mode === TRY) return `Try it: open since ${opening(times.opens_at, nowMs, zone)}`;
  if (mode === SHUT) return `Window shut ${shuts}. Sand first`;
  if (mode === OPENS || mode === CLOSING) return `${what} now${until}`;
  return step.do === 'sand' ? 'Sand now' : 'Ready for your hands';
}

function waiting(what, times, opens, shuts) {
  if (!shuts) return `${what} from ${opens}`;
  if (times.shuts_at <= times.opens_at) return `Shuts ${shuts}, before ${what} opens ${opens}. Sand first`;
  return `${what} from ${opens}, until ${shuts}`;
}

function standingStill(step, times, trace, nowMs, zone, unit) {
  const { opens_at: opens, lowest_dc: lowest } = times;
  const cold = film.tooCold(times, trace, nowMs) || (opens === null && film.tooCold(times, trace, trace.at(-1)[0]));
  const why = cold ? `Stands still below ${words.degrees(lowest, unit)}` : 'Stands still: the air is too damp';
  const what = times.gate === 'sand' ? 'Sand' : filmWords(step);
  return opens === null ? why : `${why}. ${what} from ${words.opens(opens, nowMs, zone)}`;
}

const filmWords = (step) => (step.do === 'coat' ? `Coat ${step.laid + 1}` : step.words);

function left(mode, times, nowMs) {
  if (mode === WAITS || (mode === STILL && times.opens_at !== null)) return words.span(times.opens_at - nowMs);
  if (mode === ASKED) return words.span(times.ask_at - nowMs);
  const closes = (mode === OPENS || mode === CLOSING) && times.shuts_at !== null;
  return closes ? words.span(times.shuts_at - nowMs) : '';
}

function takenWords(taken, phones, own) {
  if (!taken) return '';
  const { by, note, from } = taken;
  return `${from || note ? 'Handed to' : 'Taken by'} ${called(phones, by, own)}${note && `: ${note}`}`;
}

function laidWords(state, step, nowMs, zone) {
  const newest = panel.under(state, step ? step.area : '').at(-1);
  if (!newest) return '';
  const coat = newest.coat > 1 ? `, coat ${newest.coat}` : '';
  return `${newest.sheet.name}${coat}, laid ${words.shuts(newest.laid_at, nowMs, zone)}`;
}
