// Twin of timers/core/clock/clock_step.py: the rules and their sources are explained there.

import * as panel from '../fold/panel.js';

export const NEEDS = { sand: 'sand', coat: 'flash', fill: 'flash' };

export function clockStep(state) {
  const ahead = state.steps.filter((step) => step.done_at === null);
  const films = new Map();
  for (const [nth, work] of ahead.entries()) {
    const { do: does, area } = work;
    const need = needOf(work);
    if (need && !films.has(area)) films.set(area, panel.under(state, area));
    if (need && films.get(area).some(({ sheet }) => gatesFor(sheet, need).some(Boolean))) {
      const withIt = does === 'sand' ? ahead.slice(0, nth).filter((step) => !step.needs) : [];
      const step = withIt[0] ?? work;
      const coated = Object.hasOwn(NEEDS, does) ? null : areaOfCoat(ahead.slice(nth + 1));
      return { step, need, area, own: step === ahead[0], coated };
    }
    if (Object.hasOwn(NEEDS, does)) return null;
  }
  return null;
}

function areaOfCoat(steps) {
  const work = steps.find((step) => Object.hasOwn(NEEDS, step.do));
  return work && needOf(work) === 'flash' ? work.area : null;
}

export function needOf({ needs = '', do: does }) {
  const need = needs || (Object.hasOwn(NEEDS, does) ? NEEDS[does] : '');
  return need === 'nothing' ? '' : need;
}

export function gatesFor({ gates }, need) {
  const has = (gate) => Object.hasOwn(gates, gate);
  const opener = has(need) ? need : need === 'flash' && has('sand') ? 'sand' : '';
  return [opener, need === 'flash' && has('recoat_by') ? 'recoat_by' : ''];
}
