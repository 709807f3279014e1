// Twin of timers/core/fold/finishing.py: the rules and their sources are explained there.

import { later, t } from '../base/translate.js';
import { DAY_MS, HOUR_MS } from '../base/units.js';
import { curing } from './top_films.js';

const LAYS = ['fill', 'coat'];
const CLEAR = 'clear';
export const UNMASK = later('Unmask');
export const REFIT = later('Refit');
export const POLISH = later('Denib and polish');
export const WASH = later('First wash');
export const WAX = later('First wax');
export const WHY = {
  [UNMASK]: later('While the clear is still soft: hard clear tears along the tape. Keep off the coat itself.'),
  [REFIT]: later('By the edges and with care: no clamp, no cover, no tape on fresh clear. Do not bake it now.'),
  [POLISH]: later('Too early it clogs and dulls again. Sand wet: dust of fresh 2K clear can still hold isocyanates. Gloves, and breathing protection as the safety data sheet says.'),
  [WASH]: later('Brush, jet and shampoo mark a film that is still soft. Rain and plain water do it no harm.'),
  [WAX]: later('Wax and sealant close the film: what is left of the solvent must be out first.'),
};
export const AFTER = [
  ['after.refit', REFIT, 'handle'],
  ['after.polish', POLISH, 'sand'],
  ['after.wash', WASH, 'cure'],
  ['after.wax', WAX, 'cure'],
];
export const IDS = AFTER.map(([id]) => id);
export const TYPICAL = {
  handle: [200, 250].map((dc) => [dc, 4 * HOUR_MS, 8 * HOUR_MS]),
  cure: [200, 250].map((dc) => [dc, 7 * DAY_MS, 30 * DAY_MS]),
};

export function steps(state) {
  const { steps: own, after = {} } = state;
  const laying = own.filter((step) => LAYS.includes(step.do));
  if (laying.some((step) => step.done_at === null) || laying.at(-1)?.cls !== CLEAR) return own;
  const behind = own.slice(own.indexOf(laying.at(-1)) + 1);
  const films = curing(state, '');
  if (!films.length || behind.some(({ needs = 'nothing' }) => needs !== 'nothing')) return own;
  const gates = new Set(films.flatMap((film) => Object.keys(completed(film).sheet.gates)));
  if (behind.some((step) => step.do === 'sand')) gates.delete('sand');
  const newest = Math.max(...films.map((film) => film.laid_at));
  const wanted = AFTER.filter(([id, , needs]) => gates.has(needs) && after[id] !== null);
  return own.concat(wanted.map(([id, words, needs]) => stepOf(id, words, needs, since(after[id], newest))));
}

export function completed(film) {
  const { sheet } = film;
  if (sheet.cls !== CLEAR || !sheet.typical || Object.keys(TYPICAL).every((gate) => Object.hasOwn(sheet.gates, gate))) return film;
  return { ...film, sheet: { ...sheet, gates: { ...TYPICAL, ...sheet.gates } } };
}

const since = (doneAt, newest) => (doneAt !== undefined && doneAt >= newest ? doneAt : null);

function stepOf(id, words, needs, doneAt) {
  const given = { id, do: 'clean', words: t(words), cls: '', coats: 1, grit: 0, area: '' };
  return { ...given, needs, why: t(WHY[words]), laid: 0, done_at: doneAt };
}
