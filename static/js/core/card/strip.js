// Twin of timers/core/card/strip.py: the rules and their sources are explained there.

import { DAY_MS, whole } from '../base/units.js';
import * as words from '../base/words.js';

export function strip(mode, times, nowMs, zone) {
  const { laid_at: laid, opens_at: opens, shuts_at: shuts } = times;
  if (!times.gate || laid === null) return { shape: 'none', now: 0, from: '', opens: '', shuts: '' };
  return {
    shape: opens === null ? 'still' : shuts === null ? 'opens' : 'window',
    now: nowMark(laid, opens, shuts, nowMs),
    from: words.shuts(laid, nowMs, zone),
    opens: opens === null ? '' : opening(opens, nowMs, zone),
    shuts: shuts === null ? '' : words.shuts(shuts, nowMs, zone),
  };
}

export const opening = (opens, nowMs, zone) => (nowMs < opens ? words.opens : words.shuts)(opens, nowMs, zone);

function nowMark(laid, opens, shuts, nowMs) {
  if (opens === null) return 0;
  if (nowMs < opens) return along(laid, opens, nowMs, 0, 400);
  if (shuts === null || shuts <= opens) return along(opens, opens + DAY_MS, nowMs, 400, 1000);
  if (nowMs < shuts) return along(opens, shuts, nowMs, 400, 880);
  return along(shuts, shuts + DAY_MS, nowMs, 880, 1000);
}

function along(begin, end, nowMs, low, high) {
  if (nowMs <= begin || end <= begin) return low;
  return nowMs >= end ? high : low + whole(((high - low) * (nowMs - begin)) / (end - begin));
}
