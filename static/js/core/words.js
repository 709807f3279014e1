// Twin of timers/core/words.py: the rules and their sources are explained there.

import { DAY_MS, HOUR_MS, MINUTE_MS } from './units.js';

export const WEEKDAYS = ['Mon', 'Tue', 'Wed', 'Thu', 'Fri', 'Sat', 'Sun'];
export const MONTHS = ['Jan', 'Feb', 'Mar', 'Apr', 'May', 'Jun', 'Jul', 'Aug', 'Sep', 'Oct', 'Nov', 'Dec'];

export function span(ms) {
  if (ms < MINUTE_MS) return 'under 1 min';
  const minutes = Math.ceil(ms / MINUTE_MS);
  if (minutes < 60) return `${minutes} min`;
  if (minutes < 1440) return `${over(minutes, 60)} h${minutes % 60 ? ` ${two(minutes % 60)} min` : ''}`;
  const hours = Math.ceil(ms / HOUR_MS);
  return `${over(hours, 24)} d${hours % 24 ? ` ${hours % 24} h` : ''}`;
}

export const opens = (atMs, nowMs, zone) => clock(Math.ceil(atMs / MINUTE_MS) * MINUTE_MS, nowMs, zone);

export const shuts = (atMs, nowMs, zone) => clock(over(atMs, MINUTE_MS) * MINUTE_MS, nowMs, zone);

export function clock(atMs, nowMs, zone) {
  const [day, minute] = local(atMs, zone);
  const ahead = day - local(nowMs, zone)[0];
  const time = `${two(over(minute, 60))}:${two(minute % 60)}`;
  if (ahead === 0) return time;
  if (ahead === 1) return `tomorrow ${time}`;
  if (ahead === -1) return `yesterday ${time}`;
  if (ahead > 1 && ahead < 7) return `${WEEKDAYS[day + 3 - 7 * over(day + 3, 7)]} ${time}`;
  return `${date(day)} ${time}`;
}

export const degrees = (tempDc, unit = 'c') =>
  unit === 'c' ? tenths(tempDc, ' °C') : tenths(nineFifths(tempDc) + 320, ' °F');

export const warmer = (stepDc, unit = 'c') => (unit === 'c' ? tenths(stepDc, ' °C') : tenths(nineFifths(stepDc), ' °F'));

const nineFifths = (dc) => over(18 * dc + 5, 10);

function tenths(value, unit) {
  const size = Math.abs(value);
  const tenth = size % 10;
  return `${value < 0 ? '−' : ''}${over(size, 10)}${tenth ? `.${tenth}` : ''}${unit}`;
}

const over = (value, by) => Math.floor(value / by);

const two = (value) => String(value).padStart(2, '0');

function local(atMs, zone) {
  const at = atMs + zone(atMs) * MINUTE_MS;
  const day = over(at, DAY_MS);
  return [day, over(at - day * DAY_MS, MINUTE_MS)];
}

function date(day) {
  const shifted = day + 719468;
  const ofEra = shifted - over(shifted, 146097) * 146097;
  const year = over(ofEra - over(ofEra, 1460) + over(ofEra, 36524) - over(ofEra, 146096), 365);
  const ofYear = ofEra - (365 * year + over(year, 4) - over(year, 100));
  const month = over(5 * ofYear + 2, 153);
  return `${ofYear - over(153 * month + 2, 5) + 1} ${MONTHS[(month + 2) % 12]}`;
}
