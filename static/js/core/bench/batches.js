// Twin of timers/core/bench/batches.py: the rules and their sources are explained there.

import { DAY_MS, MINUTE_MS } from '../base/units.js';
import * as cure from '../clock/cure.js';
import { cups } from './cover.js';

export function batches(sheet, totalMl, coats, sprayMs, nowMs, trace) {
  if (!Object.hasOwn(sheet.gates, 'pot')) return null;
  let [pot, flash, induction, at] = [DAY_MS, 0, 0, nowMs];
  for (let coat = 0; coat < coats; coat += 1) {
    const ends = cure.closesAt(cure.closing(sheet, 'pot'), at, trace);
    pot = Math.min(pot, ends === null ? DAY_MS : ends - at);
    induction = Math.max(induction, waits(sheet, 'induction', at, trace));
    flash = Math.max(flash, waits(sheet, 'flash', at + induction + sprayMs, trace));
    at += sprayMs + flash;
  }
  pot = Math.max(pot, MINUTE_MS);
  return { ...cups(totalMl, coats, sprayMs, flash, pot, induction), pot_ms: pot, induction_ms: induction };
}

function waits(sheet, gate, fromMs, trace) {
  if (!Object.hasOwn(sheet.gates, gate)) return 0;
  const opens = cure.opensAt({ ...cure.opening(sheet, gate), lowest_dc: null }, fromMs, trace);
  return opens === null ? DAY_MS : Math.min(opens - fromMs, DAY_MS);
}
