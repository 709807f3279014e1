// Twin of timers/core/base/corrections.py: the rules and their sources are explained there.

export const CORRECTED = 'act_corrected';
export const MARK = 'corrected';
export const GROUPS = {
  film_laid: [['sheet', 'product', 'coat', 'coats_on', 'cup']],
  step_done: [],
  found_ready: [],
  found_not_ready: [],
  sent_back: [],
  surface_read: [],
  surface_ended: [],
  cup_mixed: [['sheet', 'product']],
  cup_used: [],
  cup_emptied: [['left']],
  air_read: [['temp_dc', 'rh_pm']],
};

export function applied(given) {
  const acts = given.map((act) => (Object.hasOwn(act, MARK) ? asMade(act) : act));
  const said = acts.filter((act) => act.kind === CORRECTED);
  if (!said.length) return acts;
  const stand = new Map(acts.filter((act) => act.kind !== CORRECTED).map((act) => [act.id, act]));
  for (const by of said) {
    const first = stand.get(by.act);
    if (first && first.kind === by.of && Object.hasOwn(GROUPS, by.of)) stand.set(by.act, corrected(first, by));
  }
  return [...stand.values()].sort((a, b) => a.at - b.at || (a.id < b.id ? -1 : 1));
}

export function stepsFirst(acts) {
  const added = new Map();
  for (const act of acts) {
    const steps = act.kind === 'step_added' ? [act.step] : act.kind === 'sent_back' ? act.steps : [];
    for (const { id } of steps) if (!added.has(id)) added.set(id, [act.at, act.id]);
  }
  if (!added.size) return acts;
  const place = (act) => {
    const own = [act.at, act.id];
    const first = ['film_laid', 'step_done'].includes(act.kind) ? added.get(act.step) : undefined;
    return first && byPlace(own, first) < 0 ? [...first, ...own] : [...own, 0, ''];
  };
  const placed = acts.map((act) => [place(act), act]);
  return placed.sort(([a], [b]) => byPlace(a, b)).map(([, act]) => act);
}

function byPlace(a, b) {
  const at = a.findIndex((value, nth) => value !== b[nth]);
  return at < 0 ? 0 : a[at] < b[at] ? -1 : 1;
}

const asMade = ({ [MARK]: mark, ...act }) => act;

function corrected(act, by) {
  const fixed = { ...act, [MARK]: [by.id, by.at] };
  for (const group of GROUPS[act.kind]) {
    if ((by[group[0]] ?? null) === null) continue;
    for (const key of group) {
      delete fixed[key];
      if ((by[key] ?? null) !== null) fixed[key] = by[key];
    }
  }
  const { at_ms: at = null } = by;
  if (at === null) return fixed;
  const { until_ms: until = null } = act;
  return { ...fixed, at, ...(until !== null && { until_ms: until + at - act.at }) };
}
