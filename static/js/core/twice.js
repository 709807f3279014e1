// Twin of timers/core/twice.py: the rules and their sources are explained there.

import { t } from './tongue.js';
import { shuts } from './words.js';

export function pair({ films }) {
  for (const [at, two] of films.entries()) {
    const one = films.slice(0, at).find((film) => sameCoat(film, two) && !film.both?.includes(two.id));
    if (one) return [one, two];
  }
  return [];
}

export function asked(state, nowMs, zone) {
  const found = pair(state);
  if (!found.length) return {};
  const [one, two] = found.map((film) => shuts(film.laid_at, nowMs, zone));
  const laid = { name: found[0].sheet.name, n: found[0].coat, one, two };
  return { twice: t('{name}, coat {n}: laid on two phones, {one} and {two}. Once or twice?', laid) };
}

export function bothLaid(state, { films }) {
  for (const film of state.films) {
    if (films.includes(film.id)) film.both = [...new Set([...(film.both ?? []), ...films])].toSorted();
  }
}

const sameCoat = (one, two) =>
  ['step', 'area', 'coat'].every((key) => one[key] === two[key]) &&
  one.who && two.who && one.who !== two.who &&
  !one.sanded.length && !two.sanded.length;
