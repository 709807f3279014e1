// One long track for a locked phone: it plays on, so the page is not put to sleep, and it holds the tones at their
// moments.
// It takes the phone's sound for itself, so it is only started by choice, and by a tap.
import { t } from "../core/base/translate.js";

const player = new Audio();
let address = "";
let armed = null; // what it holds: {begins, ends, marks}
let why = "";
let taken = () => {};

/** Called when something else stops the track. */
export const onTaken = (tell) => (taken = tell);
export const current = () => armed;
export const isPlaying = () => armed !== null && !player.paused;
/** Why it does not play though it is wanted, or "". */
export const trouble = () => why;

/** Play a track made of these parts from now on; `plan` is what the caller wants to know of it later. */
export async function play(parts, plan, title) {
  const old = address;
  if (navigator.audioSession) navigator.audioSession.type = "playback";
  address = URL.createObjectURL(new Blob(parts, { type: "audio/wav" }));
  armed = plan;
  why = "";
  player.src = address;
  name(title);
  await resume();
  if (old) URL.revokeObjectURL(old);
}

/** After a call or another app took the sound away. */
export const resume = () =>
  player.play().then(
    () => (why = ""),
    (no) => (why = no.name === "AbortError" ? why : t("The browser wants a tap first")),
  );

/** How far the track is behind the clock, in ms: a pause leaves its tones late. */
export const behind = (now) => now - armed.begins - player.currentTime * 1000;

export function stop() {
  armed = null;
  why = "";
  player.pause();
  player.removeAttribute("src");
  if (address) URL.revokeObjectURL(address);
  address = "";
  if (navigator.mediaSession) navigator.mediaSession.metadata = null;
}

export function name(title) {
  if (!navigator.mediaSession || navigator.mediaSession.metadata?.title === title) return;
  navigator.mediaSession.metadata = new MediaMetadata({ title, artist: "Sandtime" });
  navigator.mediaSession.playbackState = "playing";
}

player.addEventListener("pause", () => {
  if (!armed || !player.paused || player.ended) return;
  why = t("Something took the sound away: a call, or another app");
  taken();
});
