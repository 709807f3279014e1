// Twin of timers/core/clock/film.py: the rules and their sources are explained there.

import * as air from './air.js';
import * as cure from './cure.js';
import { clockSteps, filmsFor, gatesFor } from './clock_step.js';
import { lanes } from './lanes.js';
import { later, t } from '../base/translate.js';
import { DAY_MS, MINUTE_MS, clamp } from '../base/units.js';
import * as words from '../base/words.js';

export const NOT_SPRAYED = ['putty', 'seam'];
export const AGAIN = 'recoat_again';
export const FROM_AHEAD = {
  laid: later("laid at a time still to come: a phone's clock is wrong"),
  mixed: later("mixed at a time still to come: a phone's clock is wrong"),
};

export const felt = (state, airState, trace) => (state.surfaces?.length ? air.trace(airState, state.surfaces) : trace);

export function times(state, trace) {
  const each = lanes(state).map((lane) => ({ ...timesOfLane(lane.state, trace), area: lane.area }));
  const [{ area, ...first }] = each;
  return each.length > 1 ? { ...first, lanes: each } : first;
}

function timesOfLane(state, trace) {
  const [first = null, ...others] = clockSteps(state);
  const later = others.map((one) => ({ ...timesOf(state, one, trace), step: one.step.id }));
  return { ...timesOf(state, first, trace), ...(later.length && { later }) };
}

function timesOf(state, clock, trace) {
  const need = clock ? clock.need : '';
  const films = clock ? filmsFor(state, clock.area, need) : [];
  const gates = films.map((film) => gateOf(film, need, trace)).filter(Boolean);
  const coated = clock && clock.coated !== null ? filmsFor(state, clock.coated, 'flash') : [];
  const windows = (clock?.work ? gates : []).concat(coated.map((film) => gateOf(film, 'flash', trace)).filter(Boolean));
  const each = (key, among = gates) => among.map((gate) => gate[key]).filter((value) => value !== null);
  const holding = gates.some((gate) => !gate.ready) ? gates.filter((gate) => !gate.ready) : gates;
  const last = holding.reduce(longer, null);
  return {
    gate: need,
    films: each('film'),
    laid_at: latest(each('laid_at')),
    opens_at: last ? last.opens_at : null,
    shuts_at: earliest(each('shuts_at', windows)),
    ask_at: latest(each('ask_at', holding)),
    ready: gates.length > 0 && gates.every((gate) => gate.ready),
    beyond: gates.some((gate) => gate.beyond),
    typical: gates.some((gate) => gate.typical),
    lowest_dc: last ? last.lowest_dc : null,
    highest_dc: earliest(each('highest_dc')),
    ...openAgain(windows.filter((gate) => gate.shuts_at !== null)),
  };
}

function openAgain(shutting) {
  const moments = shutting.map((gate) => gate.again_at).filter((at) => at !== undefined);
  return moments.length && moments.length === shutting.length ? { again_at: latest(moments) } : {};
}

export function reopened(times, nowMs) {
  const again = times.again_at ?? null;
  return again === null || nowMs < again ? times : { ...times, opens_at: again, shuts_at: null };
}

export const unscuffed = (buttons, times) => buttons.filter((key) => key !== 'scuff' || times.again_at === undefined);

export function shutWords(times, nowMs, zone) {
  const time = words.shuts(times.shuts_at, nowMs, zone);
  if (times.again_at === undefined) return t('Window shut {time}. Sand first [[it has shut]]', { time });
  const again = words.opens(times.again_at, nowMs, zone);
  return t('Window shut {time}, a coat now wrinkles. Again from {again}', { time, again });
}

export function gateOf(film, need, trace) {
  const { sheet, laid_at: laid } = film;
  const [opener, shutter] = gatesFor(sheet, need);
  if (!opener && !shutter) return null;
  const opens = opener ? cure.opensAt(cure.opening(sheet, opener), laid, trace) : laid;
  const [lowest, highest] = cure.limits(sheet, opener || shutter);
  const shuts = shutter ? cure.closesAt(cure.closing(sheet, shutter), laid, trace) : null;
  const isAgain = shuts !== null && Object.hasOwn(sheet.gates, AGAIN);
  const again = isAgain ? cure.opensAt(cure.opening(sheet, AGAIN), laid, trace) : null;
  return {
    film: film.id,
    laid_at: laid,
    opens_at: opens,
    shuts_at: shuts,
    ask_at: film.ask[need] ?? film.ask[opener] ?? null,
    ready: film.ready.includes(need) || film.ready.includes(opener),
    beyond:
      reachesBeyond(sheet, opener, laid, opens, trace, cure.COLD) ||
      reachesBeyond(sheet, shutter, laid, shuts, trace, cure.HOT),
    typical: Boolean(sheet.typical),
    lowest_dc: lowest,
    highest_dc: highest,
    ...(again !== null && again > shuts && { again_at: again }),
  };
}

export function clearMs({ cls, gates }) {
  const points = NOT_SPRAYED.includes(cls) || !Object.hasOwn(gates, 'clear_air') ? [] : gates.clear_air;
  return Math.max(0, ...points.map(([, , long]) => long));
}

export const leadMs = (opensAt, shutsAt) =>
  clamp(Math.floor((shutsAt - opensAt) / 4), 2 * MINUTE_MS, 30 * MINUTE_MS);

export function closingAt({ films }, { opens_at: opens, shuts_at: shuts, films: under }) {
  if (opens === null || shuts === null) return null;
  const named = new Set(under);
  const newest = films.findLast((one) => named.has(one.id));
  return Math.max(opens, shuts - (newest?.sheet.lead_ms ?? leadMs(opens, shuts)));
}

export function askAgainAt(laidAt, opensAt, nowMs) {
  const wait = (opensAt || nowMs) - laidAt;
  return nowMs + (wait >= 2 * DAY_MS ? DAY_MS : clamp(Math.floor(wait / 4), 3 * MINUTE_MS, 30 * MINUTE_MS));
}

export const tooCold = ({ lowest_dc: lowest }, trace, nowMs) =>
  lowest !== null && cure.sideDc(air.at(trace, nowMs), cure.COLD) < lowest;

export const tooHot = ({ highest_dc: highest }, trace, nowMs) =>
  highest !== null && cure.sideDc(air.at(trace, nowMs), cure.HOT) > highest;

export function reachesBeyond(sheet, gate, startMs, endMs, trace, side) {
  if (!Object.hasOwn(sheet.gates, gate)) return false;
  return cure.beyond(cure.opening(sheet, gate), startMs, Math.max(startMs, endMs ?? trace.at(-1)[0]), trace, side);
}

export function notes(clocks, trace, nowMs, done, unit) {
  const said = [
    clocks.laid_at > nowMs + MINUTE_MS && t(FROM_AHEAD[done]),
    tooHot(clocks, trace, nowMs) && t('above {temp}: too hot for this sheet', { temp: words.degrees(clocks.highest_dc, unit) }),
    clocks.beyond && t('beyond the sheet'),
    clocks.typical && clocks.gate && t('typical, check your sheet'),
  ];
  return said.filter(Boolean).join('; ');
}

const latest = (moments) => (moments.length ? Math.max(...moments) : null);

const earliest = (moments) => (moments.length ? Math.min(...moments) : null);

function longer(one, two) {
  if (!one) return two;
  const [first, second] = [one, two].map((gate) => [gate.opens_at === null ? 1 : 0, gate.opens_at ?? gate.lowest_dc ?? 0]);
  return second[0] > first[0] || (second[0] === first[0] && second[1] > first[1]) ? two : one;
}
