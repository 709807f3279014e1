// Twin of timers/core/clock/lanes.py: the rules and their sources are explained there.

import { around, touch } from '../fold/areas.js';
import * as finishing from '../fold/finishing.js';
import { current } from '../fold/panel.js';
import { curing } from '../fold/top_films.js';
import { NEEDS, clockSteps } from './clock_step.js';

export const MOST = 12;

export function lanes(state) {
  const [now, named] = [openSteps(state), namedIn(state)];
  if (now.length < 2 && !unseen(named, [whole(state)]).length) return [whole(state)];
  const found = now.map((step) => laneOf(state, step.area, []));
  const behind = unseen(named, found).map((area) => laneOf(state, area, now));
  const ringing = behind.filter((lane) => clockSteps(lane.state).length).slice(0, MOST - found.length);
  return found.length + ringing.length > 1 ? [...found, ...ringing] : [whole(state)];
}

export const whole = (state) => ({ area: '', state, waits: [] });

export function openSteps(state) {
  const found = [];
  const before = new Set();
  for (const step of finishing.steps(state).filter((one) => one.done_at === null)) {
    if (![...before].some((area) => touch(step.area, area)) && found.length < MOST) found.push(step);
    before.add(step.area);
    if (step.area === '') break;
  }
  return found;
}

export const of = (state, area) => lanes(state).find((lane) => lane.area === area)?.state ?? state;

export function tag(lane, films) {
  const under = new Set(films);
  const own = lane.state.films.filter((film) => under.has(film.id)).map((film) => around(film.area).includes(lane.area));
  if (own.every(Boolean)) return '';
  const mark = [...lane.area].reduce((sum, sign) => Math.imul(sum ^ sign.codePointAt(0), 0x01000193) >>> 0, 0x811c9dc5);
  return `${mark.toString(16).padStart(8, '0')}:`;
}

function namedIn(state) {
  const ahead = state.steps.filter((step) => step.done_at === null);
  const work = ahead.findIndex((step) => isWork(step) && step.area === '');
  const films = state.films.some((film) => film.area) ? curing(state, '') : [];
  const found = new Set([...(work < 0 ? ahead : ahead.slice(0, work)), ...films].map(({ area }) => area).filter(Boolean));
  return [...found].sort((a, b) => around(a).length - around(b).length);
}

function unseen(named, seen) {
  const works = seen.map(({ area, state }) => [area, areaOfWork(state)]);
  const found = [];
  for (const area of named) {
    const isSeen = works.some(([one, work]) => touch(area, one) && touch(area, work));
    if (!isSeen && !found.some((one) => touch(area, one)) && found.length < MOST) found.push(area);
  }
  return found;
}

const isWork = (step) => Object.hasOwn(NEEDS, step.do);

const areaOfWork = (state) => state.steps.find((step) => step.done_at === null && isWork(step))?.area ?? '';

export function part(state, area) {
  const steps = state.steps.filter((step) => touch(step.area, area));
  const films = state.films.filter((film) => touch(film.area, area));
  return { ...state, steps, films };
}

function laneOf(state, area, now) {
  const view = part(state, area);
  const step = now.length ? current(view) : null;
  return { area, state: view, waits: now.filter((one) => step && touch(one.area, step.area)) };
}
