// The track of the locked phone: one long sound, silent until a ring's moment, made anew when a moment moves.
import { ringsHere } from "./preferences.js";
import * as lock from "../device/lock.js";
import * as queries from "../data/queries.js";
import { t } from "../core/base/translate.js";
import { clock as clockWords } from "../core/base/words.js";
import { wav, LONGEST_MS, TONE_MS } from "../core/files/track.js";
import { next, sentence, tuneOf } from "./upcoming.js";

const SPENT_MS = 300_000;
const DRIFT_MS = 1_500;

/** Whether the track itself sounds for a ring now. */
export const covered = ({ at_ms: at }, now) =>
  lock.isPlaying() &&
  lock.current().marks.some((mark) => Math.abs(mark.at_ms - at) < DRIFT_MS) &&
  now - at < TONE_MS &&
  Math.abs(lock.behind(now)) < DRIFT_MS;

/** The track as it must be now: made anew when a clock moved, when it is nearly spent, or after a pause.  `trialAt`
 *  is the moment of a trial, or null. */
export function wind(all, now, trialAt) {
  const own = all.filter(ringsHere).map((one) => ({ at_ms: one.at_ms, tune: tuneOf([one]) }));
  const marks = [...own, ...(trialAt === null ? [] : [{ at_ms: trialAt, tune: "opens" }])].filter(
    ({ at_ms: at }) => at > now - TONE_MS && at < now + LONGEST_MS,
  );
  marks.sort((one, two) => one.at_ms - two.at_ms);
  const armed = lock.current();
  const same =
    armed && JSON.stringify(armed.marks.filter((mark) => mark.at_ms > now - TONE_MS)) === JSON.stringify(marks);
  const first = next(now);
  const title = first
    ? `${clockWords(Math.ceil(first.at_ms / 60_000) * 60_000, now, queries.zone())} ${sentence(first, first.at_ms)}`
    : t("Nothing rings within the hour");
  if (same && armed.ends > now + SPENT_MS && (!lock.isPlaying() || Math.abs(lock.behind(now)) < DRIFT_MS))
    return lock.name(title);
  const offsets = marks.filter((mark) => mark.at_ms > now).map((mark) => ({ ...mark, at_ms: mark.at_ms - now }));
  lock.play(wav(offsets, LONGEST_MS), { begins: now, ends: now + LONGEST_MS, marks }, title);
}
