// Twin of timers/core/clock/past.py: the rules and their sources are explained there.

import { Refused } from '../base/check.js';
import { t } from '../base/translate.js';
import { DAY_MS, MINUTE_MS } from '../base/units.js';

export const TIME = /^([01][0-9]|2[0-3]):([0-5][0-9])$/;

export function agoMs({ when = '', when_time: time = '' }, nowMs, zone) {
  if (when !== 'at') return Number(when) * MINUTE_MS;
  return nowMs - nearestAt(minuteOf(time), nowMs, nowMs, zone);
}

export function minuteOf(time) {
  const found = TIME.exec(time);
  if (!found) throw new Refused(t('Say at what time it was. Nothing was saved.'));
  return 60 * Number(found[1]) + Number(found[2]);
}

export function nearestAt(minute, nearMs, nowMs, zone) {
  const day = Math.floor((nearMs + zone.minutesEast(nearMs) * MINUTE_MS) / DAY_MS);
  const each = [-2, -1, 0, 1].map((by) => momentOf((day + by) * DAY_MS + minute * MINUTE_MS, nearMs, zone));
  const past = each.filter((at) => at <= nowMs);
  const far = (at) => Math.abs(at - nearMs);
  return past.reduce((one, two) => (far(two) < far(one) || (far(two) === far(one) && two < one) ? two : one));
}

function momentOf(wallMs, nearMs, zone) {
  const about = wallMs - zone.minutesEast(nearMs) * MINUTE_MS;
  return wallMs - zone.minutesEast(about) * MINUTE_MS;
}
