// Twin of timers/core/fold/top_films.py: the rules and their sources are explained there.

import { around, touch } from './areas.js';

export const under = (state, area) => bare(state, area, true);

export const curing = (state, area) => bare(state, area, false);

function bare({ films }, area, isSandingAnEnd) {
  const [top, over, wide] = [[], new Set(), around(area)];
  for (const film of films.toReversed()) {
    if (!touch(film.area, area)) continue;
    const sanded = isSandingAnEnd ? film.sanded : [];
    if (![...around(film.area), ...wide].some((one) => over.has(one) || sanded.includes(one))) top.push(film);
    over.add(film.area);
  }
  return top.reverse();
}
