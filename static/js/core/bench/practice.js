// Twin of timers/core/bench/practice.py: the rules and their sources are explained there.

import { later, t } from '../base/translate.js';
import * as topFilms from '../fold/top_films.js';

export const FILLERS = ['putty', 'sprayputty'];
export const ON_METAL = ['putty', 'epoxy', 'etch', 'promoter', 'seam'];
export const FOR_METAL = 'spot';
export const NOT_METAL = ['plastic'];
export const LEAST_P = { waterbase: 800 };
export const WORDS = {
  fillerOnEtch: later('No filler on acid etch primer: it stays soft and lifts there. Sand the etch off first.'),
  epoxyOnEtch: later('No epoxy primer on acid etch: it does not hold. Sand the etch off, or go on without epoxy.'),
  fillerFollows: later('A filler step follows: no filler on acid etch. Epoxy primer may lie under filler.'),
  epoxyFollows: later('An epoxy step follows: no epoxy primer on acid etch. Lay one of the two.'),
  bareMetal: later('Where sanding went through to metal, spot prime it first: bare metal rusts under this.'),
  paper: later('Last sanded with P{grit}: the sheet asks for P{wanted} before it.'),
  water: later('Last sanded with P{grit}: waterborne shows marks coarser than P{wanted}.'),
};

export function against(state, step, product, substrate = '') {
  const films = topFilms.under(state, step.area);
  const found = etch(state, step, product.cls, films);
  const last = sandedSince(state, step.area, films).at(-1);
  if (!last) return found;
  const isMadeForIt = ON_METAL.includes(product.cls) || (product.uses ?? []).includes(FOR_METAL);
  const under = substrate || (state.choices?.substrate ?? '');
  if (!isMadeForIt && !NOT_METAL.includes(under)) found.push(t(WORDS.bareMetal));
  return [...found, ...paper(product, last.grit)];
}

function etch(state, step, cls, films) {
  const isOnEtch = films.some(({ sheet }) => sheet.cls === 'etch');
  if (isOnEtch && FILLERS.includes(cls)) return [t(WORDS.fillerOnEtch)];
  if (isOnEtch && cls === 'epoxy') return [t(WORDS.epoxyOnEtch)];
  if (cls !== 'etch') return [];
  const isSame = ({ area }) => step.area === '' || area === step.area || area === '';
  const ahead = state.steps.filter((one) => one.done_at === null && one.id !== step.id && isSame(one));
  const next = ahead.find((one) => ['fill', 'coat'].includes(one.do));
  if (FILLERS.includes(next?.cls)) return [t(WORDS.fillerFollows)];
  return next?.cls === 'epoxy' ? [t(WORDS.epoxyFollows)] : [];
}

function sandedSince({ steps }, area, films) {
  const newest = Math.max(-1, ...films.map((film) => film.laid_at));
  const sands = steps.filter((one) => one.do === 'sand' && ['', area].includes(one.area));
  return sands.filter((one) => one.done_at !== null && one.done_at > newest);
}

function paper({ cls, before_p: own }, grit) {
  const wanted = own || LEAST_P[cls] || 0;
  if (!grit || grit >= wanted) return [];
  const words = own ? WORDS.paper : WORDS.water;
  return [t(words, { grit, wanted })];
}
