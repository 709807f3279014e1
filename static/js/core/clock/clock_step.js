// Twin of timers/core/clock/clock_step.py: the rules and their sources are explained there.

import * as finishing from '../fold/finishing.js';
import * as topFilms from '../fold/top_films.js';

export const ALWAYS_SANDED = ['putty'];
export const NEEDS = { sand: 'sand', coat: 'flash', fill: 'flash' };

export const clockStep = (state) => clockSteps(state)[0] ?? null;

export function clockSteps(state) {
  const ahead = stepsAhead(state);
  const films = new Map();
  const found = [];
  for (const [nth, work] of ahead.entries()) {
    const { do: does, area } = work;
    const [need, isWork] = [needOf(work), Object.hasOwn(NEEDS, does)];
    const key = `${need === 'cure'} ${area}`;
    if (need && !films.has(key)) films.set(key, filmsFor(state, area, need));
    const isNew = !found.some((one) => one.need === need && one.area === area);
    const hasGate = need && films.get(key).some(({ sheet }) => gatesFor(sheet, need).some(Boolean));
    if (hasGate && isNew && !(found.length && isWork)) {
      const withIt = does === 'sand' ? ahead.slice(0, nth).filter((step) => !step.needs) : [];
      const step = withIt[0] ?? work;
      const coated = isWork ? null : areaOfCoat(ahead.slice(nth + 1));
      found.push({ step, need, area, own: step === ahead[0], work: isWork, coated });
    }
    if (isWork) break;
  }
  return found;
}

export const filmsFor = (state, area, need) =>
  (need === 'cure' ? topFilms.curing(state, area) : topFilms.under(state, area)).map(finishing.completed);

export const isCuring = (state) => stepsAhead(state).every((step) => needOf(step) === 'cure') && Boolean(clockStep(state)?.own);

export function isUntimed(state, step) {
  const need = step.needs ? needOf(step) : '';
  const films = need ? filmsFor(state, step.area, need) : [];
  return films.length > 0 && !films.some(({ sheet }) => gatesFor(sheet, need).some(Boolean));
}

const stepsAhead = (state) => finishing.steps(state).filter((step) => step.done_at === null);

function areaOfCoat(steps) {
  const work = steps.find((step) => Object.hasOwn(NEEDS, step.do));
  return work && needOf(work) === 'flash' ? work.area : null;
}

export function needOf({ needs = '', do: does }) {
  const need = needs || (Object.hasOwn(NEEDS, does) ? NEEDS[does] : '');
  return need === 'nothing' ? '' : need;
}

export function gatesFor({ gates, cls }, need) {
  const has = (gate) => Object.hasOwn(gates, gate);
  const opener = has(need) ? need : need === 'flash' && has('sand') ? 'sand' : '';
  const shuts = need === 'flash' && has('recoat_by') && !ALWAYS_SANDED.includes(cls);
  return [opener, shuts ? 'recoat_by' : ''];
}
