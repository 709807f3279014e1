// Twin of timers/core/card/ground.py: the rules and their sources are explained there.

import { later, t } from '../base/translate.js';

const METAL_PRIMERS = ['epoxy', 'etch'];
const PRIMERS = ['surfacer', 'sealer'];
const GROUND = {
  steel: {
    sand: later('Bare steel rusts overnight: fill or prime it the same day.'),
    prime: later('Bare steel: where it shows, etch or epoxy first.'),
  },
  aluminium: {
    sand: later('Aluminium: paper of its own, none that was on steel; P120 at the coarsest.'),
    fill: later('Aluminium: filler over epoxy, or one whose sheet names aluminium. Never over acid etch.'),
    metal: later('Aluminium: on within the hour after sanding. Epoxy or etch, no acid under epoxy.'),
    prime: later('Aluminium: where it shows, epoxy or etch first.'),
  },
  galvanised: {
    sand: later('Zinc: paper of its own, P120 at the coarsest, and not through to the steel.'),
    fill: later('Zinc: filler over epoxy, or one whose sheet names zinc. Never over acid etch.'),
    metal: later('Zinc: epoxy, or an etch whose sheet names zinc. No acid under epoxy.'),
    prime: later('Zinc: where it shows, epoxy first.'),
  },
  plastic: {
    sand: later('Plastic: P320 at the coarsest, and cool: it melts. A texture is never sanded.'),
    clean: later('Plastic: a cleaner for plastic, wiped slowly. A dry cloth charges it, and it draws dust.'),
    prime: later('Plastic: where it shows raw, promoter first. Flex additive if the sheet asks for it.'),
  },
  factory: {
    clean: later('Factory coat: rub it with solvent. What softens or comes off must come off altogether.'),
    sand: later('Factory coat: only dulled. Where metal shows, spot prime it.'),
  },
  paint: {
    clean: later('Old paint: try the solvent on a hidden spot. What wrinkles must come off.'),
    sand: later('Old paint may hold lead: sand it wet, or with extraction and a mask for dust.'),
  },
};

export function caution({ films, choices = {} }, step) {
  const lines = GROUND[choices.substrate] ?? {};
  const kind = kindOf(step, films.length > 0);
  return lines[kind] ? t(lines[kind]) : '';
}

function kindOf(step, isCovered) {
  if (METAL_PRIMERS.includes(step.cls)) return 'metal';
  if (PRIMERS.includes(step.cls)) return 'prime';
  if (isCovered || step.do === 'coat') return '';
  return step.do === 'check' ? 'clean' : step.do;
}
