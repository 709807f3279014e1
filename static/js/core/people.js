// Twin of timers/core/people.py: the rules and their sources are explained there.

import { number, oneOf, text } from './check.js';
import { UNITS } from './house.js';
import { isBox, refuseUnless } from './refuse.js';
import { later, t } from './tongue.js';

export const PHONE = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const WAYS = ['sound', 'shake', 'voice', 'notify', 'track'];
export const HEARD = ['yes', 'late', 'no'];
export const LATE_MS = 86_400_000;

export function shopNamed({ name }) {
  text(later("The shop's name"), name, 1, 60);
}

export function phoneNamed({ phone: id, name = '', person = '' }) {
  phone(id, t('The phone is missing. Nothing was saved.'));
  text(t("The phone's name"), name, 0, 60);
  text(t("The person's name"), person, 0, 60);
}

export function trialTold({ phone: id, ways, locked, heard, late_ms: late = null }) {
  phone(id, t('The phone is missing. Nothing was saved.'));
  refuseUnless(Array.isArray(ways) && ways.length <= WAYS.length, t('The ways of the trial are missing. Nothing was saved.'));
  for (const way of ways) oneOf(t('A way of the trial'), way, WAYS);
  const told = typeof locked === 'boolean';
  refuseUnless(told, t('The trial does not say whether the phone was locked. Nothing was saved.'));
  oneOf(t('What was heard of the trial'), heard, HEARD);
  if (late !== null) number(t('How late the trial rang'), late, 0, LATE_MS);
}

export function panelTaken({ by }) {
  phone(by, t('Who takes the panel is missing. Nothing was saved.'));
}

export function panelHanded({ to, note = '' }) {
  phone(to, t('Who gets the panel is missing. Nothing was saved.'));
  text(t('The note'), note, 0, 200);
}

export function unitsChosen({ units: chosen = null }) {
  const some = isBox(chosen) && Object.keys(chosen).length > 0;
  refuseUnless(some, t('No unit was chosen. Nothing was saved.'));
  for (const what of Object.keys(chosen)) oneOf(t('What is measured'), what, Object.keys(UNITS));
  for (const what of Object.keys(UNITS)) if (Object.hasOwn(chosen, what)) oneOf(t('The unit'), chosen[what], UNITS[what]);
}

function phone(value, why) {
  refuseUnless(typeof value === 'string' && PHONE.test(value), why);
}
