// Twin of timers/core/acts/relations.py: the rules and their sources are explained there.

import { plain } from '../base/check.js';
import { closing, opening, waitMs } from '../clock/cure.js';
import { refuseUnless } from '../base/refuse.js';
import { ALWAYS_SANDED } from '../clock/clock_step.js';
import { GROUPS } from '../base/corrections.js';
import { LEAST_PM, MOST_PM, PUTTY } from './schema.js';
import { decimal, t } from '../base/translate.js';

export const RULES = {
  shorter_first([, shorter, longer]) {
    refuseUnless(shorter <= longer, t('The shorter time is longer than the longer one. Nothing was saved.'));
  },
  warmer_is_faster(lines) {
    lines.slice(1).forEach(([warmer, shorter, less], nth) => {
      const [colder, short, long] = lines[nth];
      refuseUnless(warmer > colder, t("The sheet's lines must rise in temperature. Nothing was saved."));
      const faster = shorter <= short && less <= long;
      refuseUnless(faster, t('On this sheet warmer is slower. Check the lines. Nothing was saved.'));
    });
  },
  lowest_below_highest(sheet) {
    for (const of of ['', 'cure_']) {
      const [lowest, highest] = [sheet[`${of}lowest_dc`] ?? null, sheet[`${of}highest_dc`] ?? null];
      const good = lowest === null || highest === null || lowest < highest;
      refuseUnless(good, t('The lowest temperature must be below the highest. Nothing was saved.'));
    }
  },
  least_first([least, most]) {
    refuseUnless(least <= most, t('The least hardener is more than the most. Nothing was saved.'));
  },
  different_ids(steps) {
    const own = new Set(steps.map((step) => step.id)).size === steps.length;
    refuseUnless(own, t('Two steps carry the same number. Nothing was saved.'));
  },
  something_poured(amounts) {
    refuseUnless(amounts.some((amount) => amount > 0), t('Nothing was poured into the cup. Nothing was saved.'));
  },
  ring_of_this({ on, ring }) {
    refuseUnless(ring.startsWith(`${on} `), t('This ring is of something else. Nothing was saved.'));
  },
  corrects_something(act) {
    const has = (key) => (act[key] ?? null) !== null;
    const isSaid = has('at_ms') || GROUPS[act.of].some(([first]) => has(first));
    refuseUnless(isSaid, t('This correction changes nothing. Nothing was saved.'));
    const asked = act.of === 'film_laid' ? ['product', 'coat'] : ['product'];
    const words = t('A correction with a sheet says its product too, and which coat it is. Nothing was saved.');
    refuseUnless(!has('sheet') || asked.every(has), words);
  },
  hardener_of_a_putty({ cls, ratio = null, hardener_span_pm: span = null, variants }) {
    const [least, most] = span ?? [LEAST_PM, MOST_PM];
    for (const each of [ratio, ...(variants ?? []).map((one) => one.ratio ?? null)]) {
      if (each !== null && PUTTY.includes(cls) && each.by === 'weight' && each.parts.length === 2) hardenerInside(each, least, most);
    }
  },
  window_opens_first({ cls, gates = {} }) {
    const isAgain = Object.hasOwn(gates, 'recoat_again');
    const never = t('The window opens again but never closes: give the last moment too. Nothing was saved.');
    refuseUnless(!isAgain || Object.hasOwn(gates, 'recoat_by'), never);
    if (ALWAYS_SANDED.includes(cls) || !Object.hasOwn(gates, 'flash') || !Object.hasOwn(gates, 'recoat_by')) return;
    const [opens, closes] = [opening({ gates }, 'flash'), closing({ gates }, 'recoat_by')];
    const temps = new Set([...gates.flash, ...gates.recoat_by].map(([temp]) => temp));
    for (const temp of [...temps].sort((a, b) => a - b)) {
      refuseUnless(waitMs(closes, temp) > waitMs(opens, temp), shutFirst(decimal(plain(temp, 10))));
    }
    if (isAgain) opensAgainLast(opening({ gates }, 'recoat_again'), closes);
  },
};

function opensAgainLast(again, closes) {
  const temps = [...again.points, ...closes.points].map(([temp]) => temp);
  const good = temps.every((temp) => waitMs(again, temp) > waitMs(closes, temp));
  refuseUnless(good, t('The window opens again before it has closed: check both moments. Nothing was saved.'));
}

function hardenerInside({ parts: [putty, hardener] }, least, most) {
  if (least * putty <= 1000 * hardener && 1000 * hardener <= most * putty) return;
  const typed = percent(Math.floor((1000 * hardener) / putty));
  const values = { least: percent(least), most: percent(most), typed };
  refuseUnless(false, t('Hardener must be from {least} to {most} % of the putty (you typed {typed}). Nothing was saved.', values));
}

const percent = (sharePm) => decimal(plain(sharePm, 10));

const shutFirst = (temp) =>
  t('At {temp} °C the window closes before it opens: check the next coat and the last moment. Nothing was saved.', { temp });
