// Twin of timers/core/card/ring_keys.py: the rules and their sources are explained there.

import * as finishing from '../fold/finishing.js';

export const MOST_FILMS = 20;

export function ofFilms(ids, { films }) {
  const marks = new Map(films.filter((one) => one.corrected).map((one) => [one.id, `.${one.corrected[0].slice(-4)}`]));
  return ids.slice(-MOST_FILMS).map((id) => id.slice(-12) + (marks.get(id) ?? '')).join(',');
}

export function since(ids, state) {
  const fixed = state.films.filter((one) => one.corrected && ids.includes(one.id)).map((one) => one.corrected[1]);
  return Math.max(0, ...fixed, ...finishing.steps(state).map((step) => step.done_at ?? 0));
}

export const ofCup = ({ corrected }) => (corrected ? ` ${corrected[0].slice(-4)}` : '');
