// Twin of timers/core/fold/silence.py: the rules and their sources are explained there.

export const AGAIN = ' again ';

export function silenced(state, { ring }) {
  state.quiet[first(ring)] = null;
}

export function snoozed(state, { ring, until_ms: until }) {
  state.quiet[first(ring)] = until;
}

export const first = (key) => key.split(AGAIN)[0];

export const later = (key, untilMs) => `${key}${AGAIN}${untilMs}`;
