// Twin of timers/core/card/cup.py: the rules and their sources are explained there.

import { plain } from '../base/check.js';
import * as cure from '../clock/cure.js';
import { CLOSING, OPENS, SHUT, STILL, WAITS } from './panel_card.js';
import { strip as stripOf } from './strip.js';
import * as film from '../clock/film.js';
import { standing } from '../fold/order.js';
import * as quiet from '../fold/silence.js';
import { decimal, later, t } from '../base/translate.js';
import { DAY_MS, whole } from '../base/units.js';
import * as words from '../base/words.js';

export const WORDS = {
  [WAITS]: later('Wait [[state]]'),
  [OPENS]: later('Good [[to use]]'),
  [CLOSING]: later('Closing [[soon shut]]'),
  [SHUT]: later('Over [[pot life]]'),
  [STILL]: later('Too cold'),
};
export const METRIC = { temp: 'c', volume: 'ml', weight: 'g' };
export const CAUTION = later(
  'Left-over mix heats itself in a lump. Spread it thin on a metal tray, outdoors. Never back into the tin. The safety data sheet rules.',
);

export function fold(acts) {
  const all = standing(acts);
  const mixing = all.find((act) => act.kind === 'cup_mixed');
  const emptying = all.findLast((act) => act.kind === 'cup_emptied');
  const used = new Map();
  for (const act of all) if (act.kind === 'cup_used' && !used.has(act.panel)) used.set(act.panel, act.at);
  return {
    ...hushed(all),
    mixed_at: mixing?.at ?? null,
    who: mixing?.who ?? null,
    product: mixing?.product ?? '',
    sheet: mixing?.sheet ?? null,
    by: mixing?.by ?? '',
    amounts: mixing?.amounts ?? [],
    names: mixing?.names ?? [],
    for: mixing?.for ?? [],
    used: [...used],
    emptied_at: emptying?.at ?? null,
    left: emptying?.left ?? null,
    ...(mixing?.corrected && { corrected: mixing.corrected }),
  };
}

/** What was silenced or put off of its rings. */
function hushed(all) {
  const state = { quiet: {} };
  for (const act of all) {
    if (act.kind === 'ring_silenced') quiet.silenced(state, act);
    if (act.kind === 'ring_snoozed') quiet.snoozed(state, act);
  }
  return state;
}

export const stands = (state) => state.mixed_at !== null && state.emptied_at === null;

export function times({ sheet, mixed_at: mixed }, trace) {
  const waits = Object.hasOwn(sheet.gates, 'induction');
  const lasts = Object.hasOwn(sheet.gates, 'pot');
  const opens = waits ? cure.opensAt(cure.opening(sheet, 'induction'), mixed, trace) : mixed;
  const shuts = lasts ? cure.closesAt(cure.closing(sheet, 'pot'), mixed, trace) : null;
  const [lowest, highest] = cure.limits(sheet, waits ? 'induction' : 'pot');
  return {
    gate: waits || lasts ? 'pot' : '',
    induction: waits,
    laid_at: mixed,
    opens_at: opens,
    shuts_at: shuts,
    ask_at: null,
    beyond: film.reachesBeyond(sheet, 'induction', mixed, opens, trace, cure.COLD) ||
      film.reachesBeyond(sheet, 'pot', mixed, shuts, trace, cure.HOT),
    typical: Boolean(sheet.typical),
    lowest_dc: lowest,
    highest_dc: highest,
  };
}

export function modeOf(clocks, trace, nowMs) {
  const { opens_at: opens, shuts_at: shuts } = clocks;
  if (shuts !== null && nowMs >= shuts) return SHUT;
  if (clocks.induction && opens === null) return STILL;
  if (clocks.induction && nowMs < opens) return film.tooCold(clocks, trace, nowMs) ? STILL : WAITS;
  return shuts !== null && nowMs >= shuts - film.leadMs(opens, shuts) ? CLOSING : OPENS;
}

export function face(state, clocks, trace, nowMs, zone, panelNames, units = METRIC) {
  const { sheet, by, amounts, names, used } = state;
  const mode = modeOf(clocks, trace, nowMs);
  const total = amounts.reduce((sum, much) => sum + much, 0);
  const parts = amounts.map((much, at) => `${names[at]} ${amount(by, much, units)}`);
  return {
    name: t('Cup: {name}', { name: `${sheet.name} (${amount(by, total, units)})` }),
    meant: meant(state.for, panelNames),
    step: sheet.variant ?? '',
    state: mode,
    word: t(WORDS[mode]),
    say: sentence(mode, clocks, nowMs, zone, units),
    left: left(mode, clocks, nowMs),
    strip: strip(mode, clocks, nowMs, zone),
    laid: t('Mixed {time}: {parts}', { time: words.shuts(clocks.laid_at, nowMs, zone), parts: parts.join(', ') }),
    went: went(used.map(([panel]) => panel), panelNames),
    note: film.notes(clocks, trace, nowMs, 'mixed', units.temp),
    caution: mode === CLOSING || mode === SHUT ? t(CAUTION) : '',
    buttons: ['cup-empty'],
  };
}

export function amount(by, much, units = METRIC) {
  if (units[by] === 'floz') return `${decimal(over(much * 1_000_000, 295_735, 100))} fl oz`;
  if (units[by] === 'oz') return `${decimal(over(much * 1_000_000, 283_495, 1000))} oz`;
  return by === 'weight' ? `${decimal(plain(much, 10))} g` : `${much} ml`;
}

const over = (value, by, scale) => String(Math.floor((2 * value + by) / (2 * by)) / scale);

function sentence(mode, clocks, nowMs, zone, units) {
  const { opens_at: opens, shuts_at: shuts } = clocks;
  const until = shuts === null ? '' : words.shuts(shuts, nowMs, zone);
  if (mode === SHUT) return t('Pot life over since {time}. Do not use it', { time: until });
  if (mode === CLOSING) return t('Good only until {time} [[to use]]', { time: until });
  const good = until && t('Good until {time} [[to use]]', { time: until });
  if (mode === OPENS) return good || t('No pot life is on its sheet');
  const ready = opens === null ? '' : words.opens(opens, nowMs, zone);
  if (until && ready && shuts <= opens) {
    return t('Pot life over {time}, before it is ready {ready}. Do not use it', { time: until, ready });
  }
  const said = mode === STILL ? standingStill(clocks, ready, units) : t('Stir, wait until {time} (induction)', { time: ready });
  return good ? `${said}. ${good}` : said;
}

function standingStill({ lowest_dc: lowest }, ready, units) {
  const below = t('Stands still below {temp}', { temp: words.degrees(lowest, units.temp) });
  return ready ? `${below}. ${t('Stir, wait until {time}', { time: ready })}` : below;
}

function left(mode, { opens_at: opens, shuts_at: shuts }, nowMs) {
  const waits = mode === WAITS || mode === STILL;
  const end = waits ? opens : shuts;
  const inVain = waits && shuts !== null && shuts <= opens;
  return mode === SHUT || end === null || inVain ? '' : words.span(end - nowMs);
}

function strip(mode, clocks, nowMs, zone) {
  const said = stripOf(mode, clocks, nowMs, zone);
  if (clocks.induction || !clocks.gate) return said;
  const { laid_at: mixed, shuts_at: shuts } = clocks;
  const gone = whole((880 * Math.max(nowMs - mixed, 0)) / Math.max(shuts - mixed, 1));
  const now = nowMs < shuts ? gone : 880 + whole((120 * Math.min(nowMs - shuts, DAY_MS)) / DAY_MS);
  return { ...said, shape: 'pot', now, opens: '' };
}

function meant(panels, panelNames) {
  return panels.length ? t('For {panels} [[a cup]]', { panels: listed(panels, panelNames) }) : '';
}

function went(panels, panelNames) {
  return panels.length ? t('Went on {panels} [[a cup]]', { panels: listed(panels, panelNames) }) : '';
}

const listed = (panels, panelNames) => panels.map((panel) => panelNames[panel] || t('a panel')).join(', ');
