// Twin of timers/core/fold/rework.py: the rules and their sources are explained there.

import { later, t } from '../base/translate.js';

const PRIMERS = ['epoxy', 'etch', 'surfacer', 'sealer', 'sprayputty'];
const COLOURS = ['base', 'waterbase', 'topcoat'];
export const LAYS = ['fill', 'coat'];
export const IF_NEEDED = ['spot', 'glaze', 'seam', 'promoter'];
export const FAULTS = {
  low: [
    'fill', 180, later('low spot'),
    later('Scuff it, skim it again, block it wider than before. Primer does not fill it.'),
  ],
  pinholes: [
    'fill', 180, later('pinholes'),
    later('Air in the filler. Open them, blow them out, press glaze in. Primer only bridges them.'),
  ],
  scratches: [
    'prime', 320, later('scratches'),
    later('The paper was too coarse, or a grit was left out. Finer paper, then one more coat of primer.'),
  ],
  edge: [
    'prime', 180, later('edge felt [[a ridge under the hand]]'),
    later('Feather it until no edge is felt, then prime that place again. Paint makes an edge plainer.'),
  ],
  through: [
    'metal', 0, later('rubbed through'),
    later('Bare metal rusts and lets go: prime it before anything else goes on.'),
  ],
  run: [
    'last', 800, later('run [[of paint]]'),
    later('Let it harden, cut it flat on a hard block, then coat that place. Fresh, it only smears.'),
  ],
  dust: [
    'last', 1000, later('dust'),
    later('A nib or two in clear is cut out and polished later. Where there is more, sand and coat again.'),
  ],
  fisheyes: [
    'last', 600, later('fisheyes [[craters in fresh paint]]'),
    later('Silicone, wax or oil. Sand it out, degrease twice with clean cloths, look at the air line. More paint only opens more.'),
  ],
  pop: [
    'last', 600, later('solvent pop [[small bubbles in paint]]'),
    later('Shut before the solvent was out: too thick, too warm, too soon. Sand until no hole is left, then thinner coats and the whole flash.'),
  ],
  peel: [
    'last', 800, later('orange peel [[of paint]]'),
    later('Too dry, or from too far off. Clear can be cut flat and polished; where that would rub through, sand and coat again.'),
  ],
  dry: [
    'last', 800, later('dry spray [[rough, dull paint]]'),
    later('The mist landed dry: gun too far off, air too warm, reducer too fast. Sand it smooth, then a wet coat.'),
  ],
  lifting: [
    'prime', 320, later('lifting [[paint wrinkles]]'),
    later('Solvent got under the old finish, or a coat came outside its window. Let it dry, take off all that wrinkled, feather it, shut it off with primer.'),
  ],
  colour: [
    'colour', 800, later('colour off [[it does not match]]'),
    later('Compare in daylight on a spray-out card. Tint it or blend it out; clear goes over it again.'),
  ],
  dieback: [
    'last', 1000, later('die-back [[the gloss sinks]]'),
    later('Solvent was still under it. Let it cure and polish; where the gloss sinks again, sand and clear once more.'),
  ],
};

export function rework(steps, fault) {
  const [back, grit, , why] = FAULTS[fault];
  const laid = steps.filter((one) => LAYS.includes(one.do) && isOn(one));
  const found = [...wanted(laid, back), ...laid.slice(-1)][0];
  return { step: found ? found.id : '', grit: found ? grit : 0, why: t(why) };
}

export function sandedFirst(fault, number, area) {
  const [, grit, , why] = FAULTS[fault] ?? ['', 0, '', ''];
  if (!grit) return [];
  return [
    { id: `${number}.0`, do: 'sand', words: t('Sand out P{grit}', { grit }), grit, area, why: t(why) },
    { id: `${number}.1`, do: 'clean', words: t('Blow off, clean, mask'), area },
  ];
}

const isOn = (step) => step.laid > 0 || (step.done_at !== null && !IF_NEEDED.includes(step.use));

function wanted(laid, back) {
  if (back === 'fill') return laid.filter((one) => one.do === 'fill').slice(-1);
  if (back === 'colour') return laid.filter((one) => COLOURS.includes(one.cls)).slice(0, 1);
  const primed = laid.filter((one) => PRIMERS.includes(one.cls));
  return { prime: primed.slice(-1), metal: primed.slice(0, 1) }[back] ?? [];
}
