// Twin of timers/core/fold/duplicates.py: the rules and their sources are explained there.

import { t } from '../base/translate.js';
import { shuts } from '../base/words.js';

export function pair({ films }) {
  const coats = new Map();
  for (const [nth, two] of films.entries()) {
    if (!two.who || two.sanded.length) continue;
    const key = JSON.stringify([two.step, two.area, two.coat]);
    if (!coats.has(key)) coats.set(key, new Map());
    const phones = coats.get(key);
    const others = [...phones].filter(([who]) => who !== two.who).map(([, laid]) => first(laid, two)).filter(Boolean);
    if (others.length) return [others.reduce((a, b) => (a.nth < b.nth ? a : b)).one, two];
    if (!phones.has(two.who)) phones.set(two.who, []);
    phones.get(two.who).push({ nth, one: two, both: new Set(two.both) });
  }
  return [];
}

const first = (laid, two) => laid.find(({ both }) => !both.has(two.id));

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
