// Twin of timers/core/bench/gun.py: the rules and their sources are explained there.

import { decimal, t } from '../base/translate.js';
import { whole } from '../base/units.js';

const KPA_OF_PSI = 6.894757;
const MM_OF_INCH = 25.4;
export const HIGH_KPA = 300;

export function gunWords(gun, setUp, unit) {
  const parts = [pressure(setUp, unit), tip(setUp), turns(setUp), fan(setUp), distance(setUp, unit)];
  const figures = parts.filter(Boolean).join(', ');
  return figures ? t('{gun}: {figures}', { gun, figures }) : gun;
}

export function gunCaution({ pressure_kpa: kpa = 0 }, unit) {
  if (kpa <= HIGH_KPA) return '';
  return t(
    "{pressure} is above {most} at the gun inlet: more mist in the air and less on the panel. Check the gun's own sheet: an HVLP gun wants about 2 bar (30 psi).",
    { pressure: figure(kpa, unit), most: figure(HIGH_KPA, unit) },
  );
}

const pressure = ({ pressure_kpa: kpa }, unit) =>
  kpa === undefined ? '' : t('{pressure} at the gun inlet, trigger pulled', { pressure: figure(kpa, unit) });

const figure = (kpa, unit) => (unit === 'psi' ? `${whole(kpa / KPA_OF_PSI)} psi` : `${plain(kpa, 100)} bar`);

const tip = ({ tip_um: um }) => (um === undefined ? '' : t('{mm} mm tip [[of a spray gun]]', { mm: plain(um, 1000) }));

const turns = ({ turns_tenths: tenths }) =>
  tenths === undefined ? '' : t('{turns} turns [[of the fluid knob]]', { turns: plain(tenths, 10) });

const fan = ({ fan: wide }) => (wide ? t('fan {fan} [[of a spray gun: how wide]]', { fan: wide }) : '');

function distance({ distance_mm: mm }, unit) {
  if (mm === undefined) return '';
  if (unit === 'psi') return t('{inches} in away [[from the panel]]', { inches: whole(mm / MM_OF_INCH) });
  return t('{cm} cm away [[from the panel]]', { cm: plain(mm, 10) });
}

function plain(value, by) {
  const hundredths = whole((value * 100) / by);
  const text = `${Math.floor(hundredths / 100)}.${String(hundredths % 100).padStart(2, '0')}`;
  return decimal(text.replace(/\.?0+$/, ''));
}
