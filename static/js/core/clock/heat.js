// Twin of timers/core/clock/heat.py: the rules and their sources are explained there.

import { firstAfter, firstFrom } from '../fold/order.js';

export const at = (steps, nowMs) => steps[Math.max(0, firstAfter(steps, nowMs) - 1)];

export const dampest = (damps) =>
  damps.reduce((most, damp) => (damp === null || (most !== null && most > damp) ? most : damp), null);

function widen(steps, begin, end, temp) {
  if (begin >= end) return;
  for (const moment of [begin, end]) {
    const place = firstFrom(steps, moment);
    if (steps[place]?.[0] !== moment) steps.splice(place, 0, [moment, ...at(steps, moment).slice(1)]);
  }
  for (let place = firstFrom(steps, begin); place < firstFrom(steps, end); place++) {
    const [from, low, high, damp] = steps[place];
    steps[place] = [from, Math.min(low, temp), Math.max(high, temp), damp];
  }
}

export function ruleOver(steps, [begin, end, temp, warmMs, coolMs]) {
  if (warmMs !== undefined) {
    const warmEnd = Math.min(begin + warmMs, end ?? Infinity);
    widen(steps, begin, warmEnd, temp);
    if (warmEnd !== end) ruleOver(steps, [warmEnd, end, temp]);
    if (end !== null) widen(steps, end, end + coolMs, temp);
    return;
  }
  const first = firstFrom(steps, begin);
  if (end === null) {
    steps.splice(first, Infinity, [begin, temp, temp, at(steps, begin)[3]]);
    return;
  }
  const past = firstAfter(steps, end);
  const felt = [at(steps, begin), ...steps.slice(firstAfter(steps, begin), past)];
  const lamp = [begin, temp, temp, dampest(felt.map((step) => step[3]))];
  steps.splice(first, past - first, lamp, [end, ...at(steps, end).slice(1)]);
}
