// Twin of timers/core/card/alarms.py: the rules and their sources are explained there.

import * as cup from './cup.js';
import * as keys from './ring_keys.js';
import * as film from '../clock/film.js';
import * as lanes from '../clock/lanes.js';
import { clockSteps } from '../clock/clock_step.js';
import * as areas from '../fold/areas.js';
import * as panel from '../fold/panel.js';
import * as quiet from '../fold/silence.js';
import { later, t } from '../base/translate.js';
import * as say from '../base/words.js';
import { HOUR_MS, MINUTE_MS } from '../base/units.js';

export const URGENCY = ['closing', 'pot_closing', 'shut', 'pot_shut', 'opens', 'asked', 'clear'];
export const AGAIN = film.AGAIN;
export const SINCE = {
  shut: later('the window is shut since {time}. Sand first'),
  pot_shut: later('pot life over since {time}'),
  clear: later('the air has had its time to clear since {time}. The safety data sheet rules'),
};

export function rings(on, state, times, nowMs) {
  if (!stands(on, state)) return [];
  const found = on.startsWith('cup:') ? unbegun(ofCup(on, state, times), nowMs) : ofPanel(on, state, times, nowMs);
  const held = state.quiet ?? {};
  const heard = found.filter(({ key }) => !Object.hasOwn(held, key) || held[key] !== null);
  return heard.map((ring) => heeded(ring, held)).filter((ring) => isOfUse(ring, nowMs));
}

export function stands(on, state) {
  if (on.startsWith('cup:')) return cup.stands(state);
  return on.startsWith('panel:') && state.added_at !== null && state.away_at === null;
}

export function overdue(found, toldKeys, nowMs) {
  const told = new Set(toldKeys);
  return urgentFirst(found.filter((ring) => ring.at_ms <= nowMs && !told.has(ring.key) && isOfUse(ring, nowMs)));
}

export const urgentFirst = (found) => found.toSorted((a, b) => compare(rank(a), rank(b)));

export function nextAt(found, nowMs) {
  const ahead = found.map((ring) => ring.at_ms).filter((at) => at > nowMs);
  return ahead.length ? Math.min(...ahead) : null;
}

export function nameOf(state, area = '') {
  if (Object.hasOwn(state, 'mixed_at')) return t('Cup: {name}', { name: state.sheet.name });
  return area ? [state.name, areas.words(area)].filter(Boolean).join(', ') : state.name;
}

export function todo(state, gate = '', area = '') {
  if (Object.hasOwn(state, 'mixed_at')) return '';
  const lane = lanes.of(state, area);
  const clocks = clockSteps(lane);
  const ringing = clocks.find((clock) => gateOfRing(clock) === gate) ?? clocks[0];
  const step = ringing?.step ?? panel.current(lane);
  if (!step) return '';
  const said = step.do === 'coat' ? t('coat {n}', { n: step.laid + 1 }) : step.words;
  return ['', area].includes(step.area) ? said : `${said} (${areas.words(step.area)})`;
}

export const words = (ring, name, stepWords, nowMs, zone) => `${name}: ${saidOf(ring, stepWords, nowMs, zone)}`;

const isOfUse = ({ until_ms: until }, nowMs) => until === null || nowMs < until;

function ofPanel(on, state, times, nowMs) {
  if (!times.lanes) return unbegun([...ofLane(on, state, times, ''), ...clearing(on, state)], nowMs);
  const found = lanes.lanes(state).flatMap((lane, nth) => {
    const one = times.lanes[nth];
    const heard = unbegun(ofLane(on, lane.state, one, lanes.tag(lane, one.films)), nowMs);
    return heard.map((ring) => ({ ...ring, area: lane.area }));
  });
  return [...found, ...clearing(on, state)];
}

function unbegun(found, nowMs) {
  const begun = found.some(({ kind, since_ms: since }) => kind.endsWith('closing') && since <= nowMs);
  return found.filter(({ kind, gate }) => !(begun && ['opens', 'asked'].includes(kind)) || gate === AGAIN);
}

const ofLane = (on, state, times, tag) =>
  times.gate ? [...windows(on, state, times, tag), ...laterRings(on, state, times, tag)] : [];

function clearing(on, state) {
  const clears = state.films
    .filter(({ sheet }) => film.clearMs(sheet))
    .map(({ id, laid_at: laid, sheet }) => [laid + film.clearMs(sheet), id]);
  if (!clears.length) return [];
  const [at, id] = clears.reduce((one, two) => (compare(one, two) < 0 ? two : one));
  return [ringAt(`${on} clear clear_air ${keys.ofFilms([id], state)}`, at, at + HOUR_MS)];
}

function windows(on, state, times, tag) {
  const { opens_at: opens, shuts_at: shuts } = times;
  const [clock] = clockSteps(state);
  const window = `flash ${tag}${keys.ofFilms(times.films, state)}`;
  const found = [];
  if (opens !== null && (shuts === null || opens < shuts)) {
    found.push(...openingOf(on, clock ? gateOfRing(clock) : times.gate, state, times, tag));
    if (shuts !== null) found.push(ringAt(`${on} closing ${window}`, film.closingAt(state, times), shuts));
  }
  const again = times.again_at ?? null;
  if (again !== null) found.push(ringAt(`${on} opens ${AGAIN} ${tag}${keys.ofFilms(times.films, state)}`, again, null));
  return shuts === null ? found : [...found, ringAt(`${on} shut ${window}`, shuts, again)];
}

function laterRings(on, state, { later: all = [] }, tag) {
  const clocks = clockSteps(state).slice(1);
  return all.flatMap((times, nth) => openingOf(on, gateOfRing(clocks[nth]), state, times, tag));
}

function openingOf(on, gate, state, times, tag) {
  const { opens_at: opens, shuts_at: shuts, ask_at: ask, laid_at: laid, ready } = times;
  const key = `${gate} ${tag}${keys.ofFilms(times.films, state)}`;
  if (ready || opens === null) return [];
  if (ask !== null) return [ringAt(`${on} asked ${key} ${ask}`, Math.max(opens, ask), shuts)];
  return opens > Math.max(laid, keys.since(times.films, state)) ? [ringAt(`${on} opens ${key}`, opens, shuts)] : [];
}

const gateOfRing = ({ need, work }) => (need === 'flash' && !work ? 'flashed' : need);

function ofCup(on, state, { opens_at: opens, shuts_at: shuts, induction }) {
  const found = [];
  const mark = keys.ofCup(state);
  if (opens !== null && (shuts === null || opens < shuts)) {
    if (induction && opens > (state.corrected?.[1] ?? 0)) found.push(ringAt(`${on} opens induction${mark}`, opens, shuts));
    const closing = shuts === null ? 0 : Math.max(opens, shuts - film.leadMs(opens, shuts));
    if (shuts !== null) found.push(ringAt(`${on} pot_closing pot${mark}`, closing, shuts));
  }
  return shuts === null ? found : [...found, ringAt(`${on} pot_shut pot${mark}`, shuts, null)];
}

function ringAt(key, at, until) {
  const [, kind, gate] = key.split(' ');
  return { key, kind, gate, at_ms: at, since_ms: at, until_ms: until };
}

function heeded(ring, held) {
  if (!Object.hasOwn(held, ring.key)) return ring;
  const until = held[ring.key];
  return { ...ring, key: quiet.later(ring.key, until), at_ms: Math.max(ring.at_ms, until) };
}

function saidOf(ring, step, nowMs, zone) {
  const { kind, since_ms: from, until_ms: until } = ring;
  const time = say.shuts(from, nowMs, zone);
  if (kind === 'shut' && until !== null) {
    const again = say.opens(until, nowMs, zone);
    return t('the window is shut since {time}, a coat wrinkles. Again {again}', { time, again });
  }
  if (Object.hasOwn(SINCE, kind)) return t(SINCE[kind], { time });
  if (kind === 'closing' || kind === 'pot_closing') return closing(kind, until, nowMs, zone);
  const said = opened(ring, step, nowMs >= from + MINUTE_MS ? time : '');
  return until === null ? said : `${said}. ${t('Until {time}', { time: say.shuts(until, nowMs, zone) })}`;
}

function closing(kind, until, nowMs, zone) {
  const when = say.shuts(until, nowMs, zone);
  const today = when === say.shuts(until, until, zone);
  if (kind === 'closing') return today ? t('the window shuts at {time}', { time: when }) : t('the window shuts {when}', { when });
  return today ? t('pot life ends at {time}', { time: when }) : t('pot life ends {when}', { when });
}

function opened({ gate, kind }, step, time) {
  if (gate === 'induction') {
    if (!time) return t('it has stood long enough. Stir it [[a cup]]');
    return t('it has stood long enough since {time}. Stir it [[a cup]]', { time });
  }
  if (kind === 'asked') return t('try it again: {step}', { step });
  if (gate === 'flashed') return time ? t('{what} now, since {time}', { what: step, time }) : t('{what} now', { what: step });
  if (gate === 'flash' || gate === AGAIN) return time ? t('{step} can go on since {time}', { step, time }) : t('{step} can go on', { step });
  return time ? t('try it since {time}: {step}', { time, step }) : t('try it: {step}', { step });
}

const rank = (ring) => [URGENCY.indexOf(ring.kind), ring.since_ms, ring.key];

function compare(a, b) {
  const at = a.findIndex((one, nth) => one !== b[nth]);
  return at < 0 ? 0 : a[at] < b[at] ? -1 : 1;
}
