// Twin of timers/core/card/bench_card.py: the rule and its source are explained there.

export const AFTER_CLEAR = { 'after.refit': 'refit', 'after.polish': 'polish', 'after.wash': 'wash', 'after.wax': 'wax' };
export const BY_USE = {
  filler: 'filler',
  fibre: 'filler',
  glaze: 'glaze',
  spot: 'spot',
  surfacer: 'surfacer',
  sealer: 'sealer',
  base: 'base',
  effect: 'effect',
  clear: 'clear',
  topcoat: 'topcoat',
  promoter: 'promoter',
  seam: 'seam',
};
export const BY_CLASS = {
  putty: 'filler',
  sprayputty: 'sprayfill',
  epoxy: 'epoxy',
  etch: 'etch',
  surfacer: 'surfacer',
  sealer: 'sealer',
  base: 'base',
  waterbase: 'base',
  clear: 'clear',
  topcoat: 'topcoat',
  promoter: 'promoter',
  seam: 'seam',
};
const WORK = ['sand', 'fill', 'coat'];
const LAYS = ['fill', 'coat'];
const PAINT = ['base', 'effect', 'clear', 'topcoat'];
const [STRIPS_P, SHAPES_P, SCUFFS_P, FINAL_P, POLISHES_P] = [100, 100, 280, 500, 1200];

export function benchCard(all, nth) {
  const step = all[nth];
  const [steps, at] = sameArea(all, nth);
  const own = step.card || AFTER_CLEAR[step.id];
  if (own) return own;
  if (LAYS.includes(step.do)) return laid(step);
  if (step.do === 'sand') return sanded(steps, at);
  return step.do === 'check' ? checked(steps, at) : cleaned(steps, at);
}

function sameArea(steps, at) {
  const { area = '' } = steps[at];
  const isNear = ({ area: other = '' }) => !area || other === '' || other === area;
  return [steps.filter(isNear), steps.slice(0, at).filter(isNear).length];
}

const laid = (step) => BY_USE[step.use] || BY_CLASS[step.cls] || (step.do === 'fill' ? 'filler' : 'spray');

function sanded(steps, at) {
  const under = steps.slice(0, at).findLast((one) => LAYS.includes(one.do));
  const { grit = 0 } = steps[at];
  if (!under) return grit >= SCUFFS_P ? 'scuff' : grit > 0 && grit < STRIPS_P ? 'strip' : 'feather';
  const card = laid(under);
  if (under.do === 'fill') return grit > 0 && grit < SHAPES_P ? 'shape' : 'block';
  if (PAINT.includes(card)) return grit >= POLISHES_P ? 'polish' : 'scuff';
  if (['surfacer', 'sprayfill', 'spray'].includes(card)) return grit >= FINAL_P ? 'final' : 'block';
  return 'scuff';
}

function checked(steps, at) {
  const before = steps.slice(0, at).findLast(isWork);
  if (!before) return 'look_over';
  return before.do === 'coat' ? 'look_coat' : 'feel';
}

function cleaned(steps, at) {
  const { needs = '' } = steps[at];
  const [before, after] = [steps.slice(0, at).findLast(isWork), steps.slice(at + 1).find(isWork)];
  if (needs === 'cure') return steps.slice(0, at).some((one) => one.needs === 'cure') ? 'wax' : 'wash';
  if (['flash', 'handle'].includes(needs) && !after) return needs === 'flash' ? 'unmask' : 'refit';
  if (needs === 'sand') return after ? 'guide' : 'polish';
  if (!before && !(after && LAYS.includes(after.do))) return 'degrease';
  if (before && after && after.do === 'sand' && before.do !== 'sand') return 'guide';
  const isTacked = after?.do === 'coat' && ['sealer', ...PAINT].includes(laid(after));
  return isTacked ? 'tack' : 'clean';
}

const isWork = (one) => WORK.includes(one.do);
