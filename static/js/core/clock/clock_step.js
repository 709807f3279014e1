// Twin of timers/core/clock/clock_step.py: the rules and their sources are explained there.

import * as panel from '../fold/panel.js';

export const NEEDS = { sand: 'sand', coat: 'flash', fill: 'flash' };

export function clockStep(state) {
  const ahead = state.steps.filter((step) => step.done_at === null);
  const films = new Map();
  for (const [nth, step] of ahead.entries()) {
    const [need, area] = needOf(ahead, nth);
    if (need && !films.has(area)) films.set(area, panel.under(state, area));
    if (need && films.get(area).some(({ sheet }) => gatesFor(sheet, need).some(Boolean))) {
      return { step, need, area, own: nth === 0 };
    }
    if (Object.hasOwn(NEEDS, step.do)) return null;
  }
  return null;
}

export function needOf(steps, nth) {
  const { needs = '', area, do: does } = steps[nth];
  if (needs || Object.hasOwn(NEEDS, does)) return [needs === 'nothing' ? '' : needs || NEEDS[does], area];
  const work = steps.findIndex((step, at) => at > nth && Object.hasOwn(NEEDS, step.do));
  return steps[work]?.do === 'sand' ? needOf(steps, work) : ['', area];
}

export function gatesFor({ gates }, need) {
  const has = (gate) => Object.hasOwn(gates, gate);
  const opener = has(need) ? need : need === 'flash' && has('sand') ? 'sand' : '';
  return [opener, need === 'flash' && has('recoat_by') ? 'recoat_by' : ''];
}
