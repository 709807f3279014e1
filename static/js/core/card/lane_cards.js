// Twin of timers/core/card/lane_cards.py: the rules and their sources are explained there.

import { clockStep } from '../clock/clock_step.js';
import { lanes } from '../clock/lanes.js';
import * as areas from '../fold/areas.js';
import { asked } from '../fold/duplicates.js';
import { current } from '../fold/panel.js';
import { t } from '../base/translate.js';
import * as words from '../base/words.js';
import { QUIET, floorOrder } from './floor_order.js';
import { CLOSING, FINISHED, FREE, OPENS, SHUT, face as faceOf, stepWords } from './panel_card.js';

export const MEANWHILE = ['scuff', 'ready', 'notyet'];

export function card(state, times, trace, nowMs, zone, unit = 'c', phones = {}, own = '') {
  if (!times.lanes) return faceOf(state, times, trace, nowMs, zone, unit, phones, own);
  const faces = lanes(state).map((lane, nth) => {
    const one = times.lanes[nth];
    const stands = lane.waits.length ? { ...lane, state: atItsClock(lane.state) } : lane;
    const face = faceOf(stands.state, one, trace, nowMs, zone, unit, phones, own);
    return { face: laneCard(face, stands, one, nowMs, zone), times: one };
  });
  const shown = faces.filter(isOfUse);
  const [first, ...others] = inOrder(shown).map((row) => shown[Number(row.id)].face);
  return { ...first, lanes: others, ...asked(state, nowMs, zone) };
}

export function rows(on, added, times, shown, curing) {
  const faces = [shown, ...(shown.lanes ?? [])].filter((one) => !one.waits || [CLOSING, SHUT].includes(one.state));
  const clocks = (lane) => times.lanes?.find((one) => one.area === lane) ?? times;
  return faces.map((one) => rowOf(on, added, clocks(one.lane), one, curing));
}

function laneCard({ twice, ...face }, lane, times, nowMs, zone) {
  const step = current(lane.state);
  const bare = step && step.area === lane.area ? { ...step, area: '' } : step;
  const about = { lane: lane.area, area: areas.words(lane.area), at: step ? step.id : '', waits: waitsWords(lane.waits) };
  const part = { ...face, step: stepWords(bare), ...about };
  if (!lane.waits.length) return part;
  part.buttons = part.buttons.filter((one) => MEANWHILE.includes(one));
  if ([OPENS, CLOSING].includes(face.state) && times.shuts_at !== null) {
    part.say = t('Its window shuts {time}', { time: words.shuts(times.shuts_at, nowMs, zone) });
  }
  return part;
}

function atItsClock(state) {
  const { steps } = state;
  const id = clockStep(state)?.step.id;
  const at = Math.max(0, steps.findIndex((step) => step.id === id));
  const passed = steps.slice(0, at).map((step) => ({ ...step, done_at: step.done_at || 0 }));
  return { ...state, steps: [...passed, ...steps.slice(at)] };
}

function isOfUse({ face, times }) {
  if (!face.waits || face.then) return true;
  return face.state === OPENS ? times.shuts_at !== null : ![FREE, FINISHED].includes(face.state);
}

function inOrder(shown) {
  const order = floorOrder(shown.map(({ face, times }, nth) => rowOf(String(nth).padStart(2, '0'), null, times, face, false)));
  return [0, 1, 2].flatMap((wanted) => order.filter((row) => rank(shown[Number(row.id)].face) === wanted));
}

function rank({ state, waits }) {
  if ([CLOSING, SHUT].includes(state)) return 0;
  return waits ? 2 : QUIET.includes(state) ? 1 : 0;
}

function rowOf(id, added, { opens_at, shuts_at, ask_at }, { name, area, state: mode, step, say }, curing) {
  const called = [name, area].filter(Boolean).join(', ');
  return { id, name: called, added_at: added, mode, step, say, opens_at, shuts_at, ask_at, curing };
}

const waitsWords = (steps) =>
  steps.length ? t('Waits for: {what}', { what: steps.map((step) => stepWords(step)).join('; ') }) : '';
