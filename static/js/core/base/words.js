// Twin of timers/core/base/words.py: the rules and their sources are explained there.

import { decimal, later, t } from './translate.js';
import { DAY_MS, HOUR_MS, MINUTE_MS } from './units.js';

export const WEEKDAYS = [later('Mon'), later('Tue'), later('Wed'), later('Thu'), later('Fri'), later('Sat'), later('Sun')];
export const MONTHS = [
  ...[later('Jan'), later('Feb'), later('Mar'), later('Apr'), later('May'), later('Jun')],
  ...[later('Jul'), later('Aug'), later('Sep'), later('Oct'), later('Nov'), later('Dec')],
];

export function span(ms) {
  if (ms < MINUTE_MS) return t('under 1 min');
  const minutes = Math.ceil(ms / MINUTE_MS);
  if (minutes < 60) return t('{minutes} min', { minutes });
  if (minutes < 1440) {
    const hours = over(minutes, 60);
    return minutes % 60 ? t('{hours} h {minutes} min', { hours, minutes: two(minutes % 60) }) : t('{hours} h', { hours });
  }
  const hours = Math.ceil(ms / HOUR_MS);
  const days = over(hours, 24);
  return hours % 24 ? t('{days} d {hours} h', { days, hours: hours % 24 }) : t('{days} d', { days });
}

export const opens = (atMs, nowMs, zone) => clock(Math.ceil(atMs / MINUTE_MS) * MINUTE_MS, nowMs, zone);

export const shuts = (atMs, nowMs, zone) => clock(over(atMs, MINUTE_MS) * MINUTE_MS, nowMs, zone);

export function clock(atMs, nowMs, zone) {
  const [day, minute] = local(atMs, zone);
  const ahead = day - local(nowMs, zone)[0];
  const time = wall(minute, zone);
  if (ahead === 0) return time;
  if (ahead === 1) return t('tomorrow {time}', { time });
  if (ahead === -1) return t('yesterday {time}', { time });
  return t('{day} {time}', { day: ahead > 1 && ahead < 7 ? t(WEEKDAYS[day + 3 - 7 * over(day + 3, 7)]) : date(day), time });
}

export function wall(minute, zone) {
  const hour = over(minute, 60);
  if (zone.hours !== '12') return `${two(hour)}:${two(minute % 60)}`;
  const time = `${((hour + 11) % 12) + 1}:${two(minute % 60)}`;
  return hour < 12 ? t('{time} am', { time }) : t('{time} pm', { time });
}

export const degrees = (tempDc, unit = 'c') =>
  unit === 'c' ? tenths(tempDc, ' °C') : tenths(nineFifths(tempDc) + 320, ' °F');

export const warmer = (stepDc, unit = 'c') => (unit === 'c' ? tenths(stepDc, ' °C') : tenths(nineFifths(stepDc), ' °F'));

const nineFifths = (dc) => over(18 * dc + 5, 10);

function tenths(value, unit) {
  const size = Math.abs(value);
  const tenth = size % 10;
  return `${value < 0 ? '−' : ''}${tenth ? decimal(`${over(size, 10)}.${tenth}`) : over(size, 10)}${unit}`;
}

const over = (value, by) => Math.floor(value / by);

const two = (value) => String(value).padStart(2, '0');

function local(atMs, zone) {
  const at = atMs + zone.minutesEast(atMs) * MINUTE_MS;
  const day = over(at, DAY_MS);
  return [day, over(at - day * DAY_MS, MINUTE_MS)];
}

export function civil(day) {
  const shifted = day + 719468;
  const era = over(shifted, 146097);
  const ofEra = shifted - era * 146097;
  const year = over(ofEra - over(ofEra, 1460) + over(ofEra, 36524) - over(ofEra, 146096), 365);
  const ofYear = ofEra - (365 * year + over(year, 4) - over(year, 100));
  const month = over(5 * ofYear + 2, 153);
  const ofMonth = ofYear - over(153 * month + 2, 5) + 1;
  return [year + 400 * era + (month >= 10 ? 1 : 0), ((month + 2) % 12) + 1, ofMonth];
}

function date(day) {
  const [, month, ofMonth] = civil(day);
  return t('{day} {month}', { day: ofMonth, month: t(MONTHS[month - 1]) });
}
