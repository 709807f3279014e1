// Twin of timers/core/bench/cautions.py: the rules and their sources are explained there.

import { later, t } from '../base/translate.js';

export const HARDENER_OF = {
  putty: 'peroxide',
  sprayputty: 'peroxide',
  epoxy: 'amine',
  surfacer: 'isocyanate',
  sealer: 'isocyanate',
  clear: 'isocyanate',
  topcoat: 'isocyanate',
};
export const NO_HARDENER = { etch: 'acid', waterbase: 'water', seam: 'seam', putty: 'seam' };
export const CAUTIONS = {
  isocyanate: later(
    '2K hardener holds isocyanates. Wear air-fed breathing protection as the safety data sheet says, keep others out, and let the air clear before you lift the visor. A cartridge mask is not enough to rely on. Your local rules and licensed practice come first. Keep the phone out of the spray area: it is not explosion rated.',
  ),
  amine: later(
    'Epoxy hardener is an amine and a sensitiser: gloves and goggles on, none of it on the skin. To spray, wear breathing protection as the safety data sheet says, keep others out, and let the air clear before you lift the visor. A hardener that holds isocyanate too asks for air-fed breathing protection. Your local rules and licensed practice come first. Keep the phone out of the spray area: it is not explosion rated.',
  ),
  peroxide: later(
    'Putty hardener is an organic peroxide and a sensitiser: gloves on, keep it from heat, never back into the tin. Left-over mix heats itself: spread it thin. The safety data sheet rules.',
  ),
  styrene: later(
    'Spray polyester mist holds styrene, its hardener is an organic peroxide: breathing protection as the safety data sheet says, gloves and goggles on, air through the room, no flame and no sparks. Left-over mix heats itself: spread it thin. Keep the phone out of the spray area: it is not explosion rated.',
  ),
  acid: later(
    'Etch primer holds acid, some hold chromate: gloves and goggles on, none of it on the skin. Solvent mist burns and harms: breathing protection as the safety data sheet says, air through the room, no flame and no sparks. Keep the phone out of the spray area: it is not explosion rated.',
  ),
  water: later(
    'Waterborne mist harms the lungs too: breathing protection as the safety data sheet says, air through the room. Some hardeners for it hold isocyanates: then air-fed protection.',
  ),
  solvent: later(
    'Solvent mist burns and harms: a fitted mask for vapour and mist as the safety data sheet says, air through the room with fans made for it, no flame, no sparks, no glowing heater. Keep the phone out of the spray area: it is not explosion rated.',
  ),
  seam: later('Gloves on, air through the room, no flame. The safety data sheet rules.'),
};
export const CAN = later('A spray can is under pressure: away from heat and sun, never forced open, never burnt.');

export function caution(product) {
  const words = product.cls ? t(CAUTIONS[whatHurts(product)]) : '';
  return product.in_can ? `${words} ${t(CAN)}` : words;
}

function whatHurts({ cls, hardener }) {
  const holds = hardener || HARDENER_OF[cls] || 'none';
  if (holds === 'none') return NO_HARDENER[cls] ?? 'solvent';
  return holds === 'peroxide' && cls === 'sprayputty' ? 'styrene' : holds;
}
