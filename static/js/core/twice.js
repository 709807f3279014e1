// Twin of timers/core/twice.py: the rules and their sources are explained there.

import { t } from './tongue.js';
import { HOUR_MS } from './units.js';
import { shuts } from './words.js';

export const ASK_MS = HOUR_MS;

export function pair({ films }) {
  const coats = new Map();
  for (const two of films) {
    if (!two.who || two.sanded.length) continue;
    const key = JSON.stringify([two.step, two.area, two.coat]);
    const near = (coats.get(key) ?? []).filter(({ one }) => two.laid_at - one.laid_at <= ASK_MS);
    const found = near.find(({ one, both }) => one.who !== two.who && !both.has(two.id));
    if (found) return [found.one, two];
    near.push({ one: two, both: new Set(two.both) });
    coats.set(key, near);
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

export function bothLaid(films, act) {
  for (const film of films) {
    film.both ??= new Set();
    for (const id of act.films) film.both.add(id);
  }
}

export function putInOrder(films) {
  for (const film of films) if (film.both) film.both = [...film.both].toSorted();
}
