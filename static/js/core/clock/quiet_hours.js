// Twin of timers/core/clock/quiet_hours.py: the rules and their sources are explained there.

import { DAY_MS, MINUTE_MS } from '../base/units.js';

export function isQuiet(hours, nowMs, zone) {
  const [begin, end] = hours ?? [0, 0];
  const minute = Math.floor(ofDay(nowMs, zone) / MINUTE_MS);
  return begin <= end ? begin <= minute && minute < end : minute >= begin || minute < end;
}

export function endsAt(hours, nowMs, zone) {
  if (!isQuiet(hours, nowMs, zone)) return nowMs;
  const end = nowMs + over(hours[1] * MINUTE_MS - ofDay(nowMs, zone));
  const byTheWall = end + (zone.minutesEast(nowMs) - zone.minutesEast(end)) * MINUTE_MS;
  return isQuiet(hours, byTheWall, zone) ? end : byTheWall;
}

const ofDay = (nowMs, zone) => over(nowMs + zone.minutesEast(nowMs) * MINUTE_MS);

const over = (ms) => ((ms % DAY_MS) + DAY_MS) % DAY_MS;
