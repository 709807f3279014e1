// The loop of ringing, without a screen: what rings at a turn, what was missed in a gap, what was told already.
import { overdue } from "../core/card/alarms.js";

const GAP_MS = 5_000; // between two turns of a page that lives a second passes
const STEP_MS = 1_500; // as a step of the clock is known in data/clock.js
const KEPT_MS = 2 * 86_400_000;

/** A loop that goes on from what this phone kept: {since, told: {key: told at}}, last awake at `seen`, when these
 *  rings stood. */
export function looped({ since = null, told = {} } = {}, seen = null, standing = []) {
  const known = new Map(Object.entries(told));
  const has = (ring) => known.has(ring.key);
  let last = seen;
  let ahead = standing;

  /** Rings at a moment; what rang before this phone knew the shop, kinds that do not ring here, and what is not ours
   *  where only ours rings, pass unheard. */
  function turn(all, now, { kinds, quiet = false, isOurs = () => true }) {
    const begins = since === null;
    since = Math.min(since ?? now, now); // a clock put right may have been ahead when it all began
    if (last !== null && now < last - STEP_MS) untell(now);
    const gap = last !== null && now - last > GAP_MS ? { from: last, to: now } : null;
    const late = overdue(all, known.keys(), now);
    const heard = (ring) => ring.at_ms >= since && kinds.includes(ring.kind) && isOurs(ring);
    const fresh = quiet ? [] : late.filter(heard);
    const passed = late.filter((ring) => !heard(ring));
    const missed = gap && !quiet ? ahead.filter((ring) => heard(ring) && !has(ring) && isOver(ring, all, now)) : [];
    for (const ring of [...fresh, ...passed, ...missed]) known.set(ring.key, now);
    const dropped = late.length || missed.length ? prune(all, now) : 0;
    ahead = all.filter((ring) => ring.at_ms > now);
    last = now;
    return { fresh, missed, gap, changed: begins || fresh.length + passed.length + missed.length + dropped > 0 };
  }

  /** The clock went back: what was told too early rings again at its moment. */
  function untell(now) {
    for (const [key, at] of known) if (at > now) known.delete(key);
  }

  function prune(all, now) {
    const keys = new Set(all.map((ring) => ring.key));
    const old = [...known].filter(([key, at]) => at < now - KEPT_MS && !keys.has(key));
    for (const [key] of old) known.delete(key);
    return old.length;
  }

  return { turn, kept: () => ({ since, told: Object.fromEntries(known) }) };
}

/** Whether a ring's moment came and went, with its use. */
const isOver = (ring, all, now) => ring.at_ms <= now && !all.some((one) => one.key === ring.key);

/** Whether a ring warns of a closing, which is said down to the minute, and not of an opening, which is said up. */
export const closes = ({ kind }) => /closing$|shut$/.test(kind);
