// Twin of timers/core/fold/order.py: the rules and their sources are explained there.

import { applied } from '../base/corrections.js';

export function inOrder(acts) {
  const once = new Map();
  for (const act of acts) if (!once.has(act.id)) once.set(act.id, act);
  return [...once.values()].sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
}

export function takenOut(acts) {
  const last = new Map();
  for (const act of inOrder(acts)) if (isUndoing(act)) last.set(act.act, act.kind);
  return new Set([...last.keys()].filter((target) => last.get(target) === 'undone'));
}

export function standing(acts) {
  const out = takenOut(acts);
  return applied(inOrder(acts).filter((act) => !out.has(act.id) && !isUndoing(act)));
}

export const firstAfter = (rows, moment) => placeOf(rows, (at) => at > moment);

export const firstFrom = (rows, moment) => placeOf(rows, (at) => at >= moment);

function placeOf(rows, isPast) {
  let [low, high] = [0, rows.length];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (isPast(rows[middle][0])) high = middle;
    else low = middle + 1;
  }
  return low;
}

const isUndoing = (act) => act.kind === 'undone' || act.kind === 'restored';
