// What time it is at the server: asked before the first post after a silence, and this phone's taps put right by it
// before they are posted.
import * as clock from "../data/clock.js";
import * as connection from "./connection.js";
import * as shop from "../data/state.js";

// reckoned from the clock of the tap; for_ms was read off a clock on the wall
const MOMENTS = ["at", "at_ms", "ask_at", "until_ms"];
const PATIENCE_MS = 8_000;
const STEP_MS = 1_500; // less may be the road
const SOON_MS = 1_500; // a first answer that takes longer is said to be waited for
/** Ask the server's clock: whether it answers at all, and what time it is.  Asked before the first post after a
 *  silence, so that taps are posted only to a server that is there, with their moments put right.  The mood where it
 *  does not answer, or null. */
export async function probe(times = clock.isKnown() ? 1 : 3) {
  for (let turn = 0; turn < times; turn += 1) {
    const asked = [Date.now(), performance.now()];
    const { ms, why } = await serverTime();
    if (why) return why;
    clock.heard(ms, ...asked);
  }
  return null;
}

/** What the server's clock says, {ms}, or why nothing, {why: a mood}.  A timer of our own: with AbortSignal.timeout
 *  Chromium now and then left the body of an answer hanging for ever. */
async function serverTime() {
  const patience = new AbortController();
  const timers = [
    setTimeout(() => patience.abort(), PATIENCE_MS),
    setTimeout(() => connection.mood() === "unknown" && connection.change({ mood: "asking" }), SOON_MS),
  ];
  try {
    const answer = await fetch("/clock", { cache: "no-store", signal: patience.signal });
    return answer.ok ? { ms: Number(await answer.text()) } : { why: "broken" };
  } catch {
    return { why: connection.unanswered(patience.signal.aborted) };
  } finally {
    timers.forEach(clearTimeout);
  }
}

/** Taps that were never posted move by what the server has put right since they were made; posted ones may not change.
 *  Each row says how far it was put right: another page, or this one before it was killed, may have done it.  Called
 *  in this page's turn alone: else another page may be posting the same taps as they were. */
export async function correct() {
  const since = ({ corrected = 0 }) => clock.correction() - corrected;
  const fresh = shop.rows().filter((row) => !row.tried && Math.abs(since(row)) >= STEP_MS);
  await shop.mark(fresh, (row) => {
    const by = clock.errorOf(since(row), row.ahead);
    const moved = MOMENTS.filter((key) => row.act[key]).map((key) => [key, row.act[key] + by]);
    return { act: { ...row.act, ...Object.fromEntries(moved) }, corrected: clock.correction() };
  });
}
