// Twin of timers/core/fold/shop_state.py: the rules and their sources are explained there.

import { standing } from './order.js';
import { t } from '../base/translate.js';

export const UNITS = { temp: ['c', 'f'], volume: ['ml', 'floz'], weight: ['g', 'oz'], film: ['um', 'mil'], hours: ['24', '12'] };

export function fold(acts) {
  const units = Object.fromEntries(Object.entries(UNITS).map(([what, choices]) => [what, choices[0]]));
  const [phones, trials] = [{}, {}];
  let called = '';
  for (const act of standing(acts)) {
    const { kind, phone, name = '', person = '', at, ways, locked, heard, late_ms = null } = act;
    if (kind === 'units_chosen') {
      for (const what of Object.keys(UNITS)) if (Object.hasOwn(act.units, what)) units[what] = act.units[what];
    } else if (kind === 'shop_named') called = name;
    else if (kind === 'phone_named') phones[phone] = { name, person };
    else if (kind === 'trial_told') trials[phone] = { at, ways, locked, heard, late_ms };
  }
  return { name: called, units, phones, trials };
}

export function called(phones, phone, own = '') {
  if (phone === own) return t('this phone [[who has it]]');
  const { name, person } = phones[phone] ?? {};
  return person || name || t('Phone {id}', { id: phone.slice(0, 4) });
}
