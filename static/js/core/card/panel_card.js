// Twin of timers/core/card/panel_card.py: the rules and their sources are explained there.

import * as film from '../clock/film.js';
import * as areas from '../fold/areas.js';
import { called } from '../fold/shop_state.js';
import * as finishing from '../fold/finishing.js';
import * as panel from '../fold/panel.js';
import * as topFilms from '../fold/top_films.js';
import { later, t } from '../base/translate.js';
import { asked } from '../fold/duplicates.js';
import * as words from '../base/words.js';
import { clockStep, isUntimed } from '../clock/clock_step.js';
import { aside, moreButtons } from './aside.js';
import { opening, strip } from './strip.js';

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
  [WAITS]: later('Wait [[state]]'),
  [OPENS]: later('Open [[of a window, not shut]]'),
  [CLOSING]: later('Closing [[soon shut]]'),
  [SHUT]: later('Shut [[state]]'),
  [TRY]: later('Try it'),
  [FREE]: later('Your hands [[are needed]]'),
  [STILL]: later('Stands still'),
  [ASKED]: later('Wait [[state]]'),
  [FINISHED]: later('All done'),
};

export function face(state, reckoned, trace, nowMs, zone, unit = 'c', phones = {}, own = '') {
  const times = film.reopened(reckoned, nowMs);
  const mode = modeOf(state, times, trace, nowMs);
  const step = panel.current(state);
  const clock = clockStep(state);
  const what = whatWords(clock ? clock.step : step);
  const say = mode === STILL ? standingStill(what, times, trace, nowMs, zone, unit) : sentence(mode, state, what, times, nowMs, zone);
  return {
    name: state.name,
    job: state.job,
    state: mode,
    word: t(STATE_WORDS[mode]),
    step: stepWords(step),
    place: place(state, step),
    say: meanwhile(mode, clock, say),
    left: left(mode, times, nowMs),
    strip: strip(mode, times, nowMs, zone),
    note: times.gate && mode !== FREE ? film.notes(times, trace, nowMs, 'laid', unit) : '',
    taken: takenWords(state.taken, phones, own),
    laid: laidWords(state, step, nowMs, zone),
    buttons: [...film.unscuffed(buttons(mode, step, clock), times), ...moreButtons(state, step)],
    main: mainWords(mode, step),
    ...asked(state, nowMs, zone),
    ...aside(state, times, nowMs, zone),
  };
}

export function modeOf(state, reckoned, trace, nowMs) {
  const times = film.reopened(reckoned, nowMs);
  const { gate, opens_at: opens, shuts_at: shuts, ask_at: ask } = times;
  if (panel.current(state) === null) return FINISHED;
  if (!gate) return FREE;
  if (shuts !== null && nowMs >= shuts) return SHUT;
  const tried = gate !== 'flash';
  if (times.ready) return tried && shuts === null ? FREE : openMode(state, times, nowMs);
  if (opens === null) return STILL;
  if (nowMs < opens) return film.tooCold(times, trace, nowMs) ? STILL : WAITS;
  if (ask !== null && nowMs < ask) return ASKED;
  const open = openMode(state, times, nowMs);
  if (!tried || open === CLOSING) return open;
  if (clockStep(state)?.own ?? true) return TRY;
  return shuts === null ? FREE : open;
}

export function nextAt(state, times, nowMs) {
  const moments = [times.opens_at, times.shuts_at, times.ask_at, film.closingAt(state, times), times.again_at ?? null];
  const ahead = moments.filter((moment) => moment !== null && moment > nowMs);
  return ahead.length ? Math.min(...ahead) : null;
}

export function stepWords(step) {
  if (step === null) return t('Every step is done');
  const { words: said, coats, laid, area } = step;
  const many = step.do === 'coat' && coats > 1;
  const all = many ? t('{step}, coat {n} of {coats}', { step: said, n: Math.min(laid + 1, coats), coats }) : said;
  return area ? `${all} (${areas.words(area)})` : all;
}

export function buttons(mode, step, clock = null) {
  if (mode === FINISHED) return ['away'];
  if (isLaying(step)) {
    return mode === SHUT ? ['scuff', 'lay'] : [OPENS, CLOSING, TRY].includes(mode) ? ['lay', 'notyet'] : ['lay'];
  }
  const tried = clock ? clock.own && clock.need !== 'flash' : step.do === 'sand';
  if (tried && [WAITS, STILL, ASKED, TRY].includes(mode)) return mode === TRY ? ['ready', 'notyet'] : ['ready'];
  const done = step.do === 'clean' ? ['done'] : ['done', 'back'];
  return mode === SHUT ? ['scuff', ...done] : done;
}

export function mainWords(mode, step) {
  if (step === null || !isLaying(step)) return '';
  const what = step.do === 'coat' ? t('coat {n}', { n: step.laid + 1 }) : step.words;
  if ([WAITS, SHUT, STILL, ASKED].includes(mode)) return t('Lay anyway: {what} [[a coat]]', { what });
  return t('Lay: {what} [[a coat]]', { what });
}

const isLaying = (step) => step.do === 'fill' || step.do === 'coat';

function openMode(state, times, nowMs) {
  const closing = film.closingAt(state, times);
  return closing === null || nowMs < closing ? OPENS : CLOSING;
}

function place(state, step) {
  const ids = finishing.steps(state).map(({ id }) => id);
  const count = ids.length;
  if (step === null) return t('{count} of {count} steps', { count });
  return t('Step {n} of {count}', { n: ids.indexOf(step.id) + 1, count });
}

function meanwhile(mode, clock, say) {
  if (clock === null || clock.own) return say;
  if ([WAITS, STILL, ASKED].includes(mode)) return t('{say}. This step can be done meanwhile', { say });
  return [OPENS, CLOSING].includes(mode) ? t('{say}. This step comes first', { say }) : say;
}

function sentence(mode, state, what, times, nowMs, zone) {
  if (mode === FINISHED) return t('Put it away, or add a step');
  const end = times.shuts_at === null ? '' : words.shuts(times.shuts_at, nowMs, zone);
  if (mode === WAITS) return waiting(what, times, words.opens(times.opens_at, nowMs, zone), end);
  if (mode === ASKED) return t('Not yet. Try again at {time}', { time: words.opens(times.ask_at, nowMs, zone) });
  if (mode === TRY) return t('Try it: open since {time}', { time: opening(times.opens_at, nowMs, zone) });
  if (mode === SHUT) return film.shutWords(times, nowMs, zone);
  if (mode === OPENS || mode === CLOSING) {
    return end ? t('{what} now, until {time}', { what, time: end }) : t('{what} now', { what });
  }
  const step = panel.current(state);
  if (isUntimed(state, step)) return t('The sheet gives no time for it. Look it up');
  return step.do === 'sand' ? t('Sand now [[do it]]') : t('Ready for your hands');
}

function waiting(what, times, time, end) {
  if (!end) return t('{what} from {time}', { what, time });
  if (times.shuts_at > times.opens_at) return t('{what} from {time}, until {end}', { what, time, end });
  return t('Shuts {end}, before {what} opens {time}. Sand first', { end, what, time });
}

function standingStill(what, times, trace, nowMs, zone, unit) {
  const { opens_at: opens, lowest_dc: lowest } = times;
  const cold = film.tooCold(times, trace, nowMs) || (opens === null && film.tooCold(times, trace, trace.at(-1)[0]));
  const why = cold
    ? t('Stands still below {temp}', { temp: words.degrees(lowest, unit) })
    : t('Stands still: the air is too damp');
  return opens === null ? why : `${why}. ${waiting(what, times, words.opens(opens, nowMs, zone), '')}`;
}

function whatWords(step) {
  if (step === null) return '';
  if (step.do === 'sand') return t('Sand [[do it]]');
  return step.do === 'coat' ? t('Coat {n}', { n: step.laid + 1 }) : step.words;
}

function left(mode, times, nowMs) {
  if (mode === WAITS || (mode === STILL && times.opens_at !== null)) return words.span(times.opens_at - nowMs);
  if (mode === ASKED) return words.span(times.ask_at - nowMs);
  if (mode === SHUT && times.again_at !== undefined) return words.span(times.again_at - nowMs);
  const closes = (mode === OPENS || mode === CLOSING) && times.shuts_at !== null;
  return closes ? words.span(times.shuts_at - nowMs) : '';
}

function takenWords(taken, phones, own) {
  if (!taken) return '';
  const { by, note, from } = taken;
  const who = called(phones, by, own);
  if (note) return t('Handed to {who}: {note}', { who, note });
  return from ? t('Handed to {who}', { who }) : t('Taken by {who}', { who });
}

function laidWords(state, step, nowMs, zone) {
  const newest = topFilms.under(state, step ? step.area : '').at(-1);
  if (!newest) return '';
  const { sheet: { name }, coat: n, laid_at: laid } = newest;
  const time = words.shuts(laid, nowMs, zone);
  return n > 1 ? t('{name}, coat {n}, laid {time}', { name, n, time }) : t('{name}, laid {time}', { name, time });
}
