// Twin of timers/core/base/units.py: the rules and their sources are explained there.

export const SECOND_MS = 1_000;
export const MINUTE_MS = 60_000;
export const HOUR_MS = 3_600_000;
export const DAY_MS = 86_400_000;
export const FAR_MS = 3_650 * DAY_MS;

export const LEAN = 1e-3;

export const whole = (value) => Math.floor(value + 0.5 + LEAN);

export const up = (value) => Math.ceil(value - LEAN);

export const down = (value) => Math.floor(value + LEAN);

export const clamp = (value, least, most) => Math.max(least, Math.min(most, value));
