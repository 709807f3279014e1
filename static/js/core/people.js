// Twin of timers/core/people.py: the rules and their sources are explained there.

import { number, oneOf, text } from './check.js';
import { UNITS } from './house.js';
import { isBox, refuseUnless } from './refuse.js';

export const PHONE = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
export const WAYS = ['sound', 'shake', 'voice', 'notify', 'track'];
export const HEARD = ['yes', 'late', 'no'];
export const LATE_MS = 86_400_000;

export function shopNamed({ name }) {
  text("The shop's name", name, 1, 60);
}

export function phoneNamed({ phone: id, name = '', person = '' }) {
  phone('The phone', id);
  text("The phone's name", name, 0, 60);
  text("The person's name", person, 0, 60);
}

export function trialTold({ phone: id, ways, locked, heard, late_ms: late = null }) {
  phone('The phone', id);
  refuseUnless(Array.isArray(ways) && ways.length <= WAYS.length, 'The ways of the trial are missing. Nothing was saved.');
  for (const way of ways) oneOf('A way of the trial', way, WAYS);
  const told = typeof locked === 'boolean';
  refuseUnless(told, 'The trial does not say whether the phone was locked. Nothing was saved.');
  oneOf('What was heard of the trial', heard, HEARD);
  if (late !== null) number('How late the trial rang', late, 0, LATE_MS);
}

export function panelTaken({ by }) {
  phone('Who takes the panel', by);
}

export function panelHanded({ to, note = '' }) {
  phone('Who gets the panel', to);
  text('The note', note, 0, 200);
}

export function unitsChosen({ units: chosen = null }) {
  const some = isBox(chosen) && Object.keys(chosen).length > 0;
  refuseUnless(some, 'No unit was chosen. Nothing was saved.');
  for (const what of Object.keys(chosen)) oneOf('What is measured', what, Object.keys(UNITS));
  for (const what of Object.keys(UNITS)) if (Object.hasOwn(chosen, what)) oneOf('The unit', chosen[what], UNITS[what]);
}

function phone(what, value) {
  refuseUnless(typeof value === 'string' && PHONE.test(value), `${what} is missing. Nothing was saved.`);
}
