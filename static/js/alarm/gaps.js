// What this phone missed, in words: a gap in which it could not ring, and the sound taken away by something else.
import * as lock from "../device/lock.js";
import * as sound from "../device/sound.js";
import { t } from "../core/base/translate.js";
import { clock as clockWords } from "../core/base/words.js";

let gapWords = "";
let soundWords = "";
let goneAt = null; // since when the sound is gone
let looks = 0; // turns before the person in which it was not back

export const words = () => [gapWords, soundWords].filter(Boolean).join(" ");

/** The person has read it, or has answered all that rang. */
export const read = () => (gapWords = soundWords = "");

/** A gap between two turns, and what came and went in it, said already. */
export function slept(over, { from, to }, now, zone) {
  const gone = over.length ? ` ${t("Over by now: {what}.", { what: over.join("; ") })}` : "";
  gapWords =
    t("This phone could not ring from {from} to {to}.", {
      from: clockWords(from, now, zone),
      to: clockWords(to, now, zone),
    }) + gone;
}

/** Something took the sound away: a call, another app, or the phone itself. */
export function lost(now, zone) {
  goneAt ??= now;
  looks = 0;
  if (lock.current() || isSeen()) sayGone(zone);
}

/** At every turn: whether the sound was gone and is back now, the track too where it is wanted. */
export function regained(now, zone, track) {
  if (goneAt === null) return false;
  if (sound.state() === "locked" || (track && !lock.isPlaying())) {
    if (isSeen() && (looks += 1) > 2) sayGone(zone);
    return false;
  }
  if (soundWords)
    soundWords = t("The sound was gone from {from} to {to}. It is armed again.", {
      from: clockWords(goneAt, now, zone),
      to: clockWords(now, now, zone),
    });
  goneAt = null;
  return true;
}

/** A hidden page without the track has promised nothing: it says so only if the sound does not come back when it is
 *  looked at. */
function sayGone(zone) {
  soundWords = t("The sound stopped at {time}: a call, another app or the phone itself. Tap to arm again.", {
    time: clockWords(goneAt, goneAt, zone),
  });
}

const isSeen = () => document.visibilityState === "visible";
