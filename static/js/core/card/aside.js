// Twin of timers/core/card/aside.py: the rules and their sources are explained there.

import * as finishing from '../fold/finishing.js';
import { current } from '../fold/panel.js';
import { IF_NEEDED, LAYS } from '../fold/rework.js';
import { t } from '../base/translate.js';
import { opens } from '../base/words.js';
import { caution } from './ground.js';

const HIDING = ['base', 'topcoat'];

export function aside(state, { later = [] }, nowMs, zone) {
  const step = current(state);
  const ground = step && caution(state, step);
  const told = { ...(step?.why && { why: step.why }), ...(ground && { ground }) };
  const waits = later.filter((one) => one.opens_at !== null && !one.ready);
  const ahead = waits.map((one) => [Math.max(one.opens_at, one.ask_at ?? 0), one.step]).filter(([at]) => at > nowMs);
  if (!ahead.length) return told;
  const [at, first] = ahead.reduce((one, two) => (two[0] < one[0] ? two : one));
  const what = finishing.steps(state).find(({ id }) => id === first).words;
  return { ...told, then: t('Then: {what} from {time}', { what, time: opens(at, nowMs, zone) }) };
}

export function moreButtons(state, step) {
  if (step === null || step.laid) return [];
  const skip = LAYS.includes(step.do) && IF_NEEDED.includes(step.use) ? ['skip'] : [];
  return [...skip, ...(colourBefore(state, step) ? ['more'] : [])];
}

export function colourBefore(state, step) {
  const own = state.steps.filter((one) => one.area === step.area);
  const at = own.findIndex((one) => one.id === step.id);
  const before = at > 0 ? own[at - 1] : null;
  return before && HIDING.includes(before.use) && before.laid ? before : null;
}
