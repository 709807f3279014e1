// Sound, made here: rising for what opens, falling and urgent for what closes.  Square partials between 2 and 3 kHz at
// full scale, where ears are keenest and a compressor is weak.  A browser wants one touch before it lets a page sound.
const TUNES = {
  opens: { notes: [2000, 2400, 2900], each: 0.16, rest: 0.9 },
  closes: { notes: [3000, 2400, 3000, 2400, 2000], each: 0.1, rest: 0.25 },
};
const LOUD = 0.5; // two voices of this add up to full scale
let context = null;
let playing = null;
let taken = () => {};

/** One touch of the screen unlocks the sound for as long as the page lives. */
export function unlock() {
  if (!context && "AudioContext" in globalThis) made();
  return resume();
}

/** After a call or another app took the sound away; a tune that was cut off plays on. */
export const resume = async () => context && context.state !== "running" && context.resume().catch(() => {});

/** Called when a sound that was unlocked is locked again. */
export const onTaken = (tell) => (taken = tell);

function made() {
  let ran = false;
  context = new AudioContext();
  context.addEventListener("statechange", () => {
    if (ran && context.state !== "running") taken();
    ran = context.state === "running";
  });
}

/** "none": this browser has no sound; "locked": it waits for a touch; "ready". */
export const state = () =>
  !("AudioContext" in globalThis) ? "none" : context?.state === "running" ? "ready" : "locked";

export const isPlaying = () => playing !== null;

/** Ring a tune ("opens" or "closes") over and over, for so long at the most. */
export function start(tune, mostMs) {
  stop();
  unlock();
  if (!context) return;
  const out = context.createGain();
  out.gain.value = 1;
  out.connect(context.destination);
  playing = { out, ends: 0, next: context.currentTime + 0.05, timer: 0 };
  playing.ends = playing.next + mostMs / 1000;
  ahead(TUNES[tune]);
}

export function stop() {
  if (!playing) return;
  clearTimeout(playing.timer);
  playing.out.disconnect();
  playing = null;
}

/** Notes are put down two seconds ahead, so that a page that is slowed to one turn a second rings without a hole. */
function ahead(tune) {
  while (playing.next < context.currentTime + 2 && playing.next < playing.ends) {
    for (const [nth, hz] of tune.notes.entries()) note(hz, playing.next + nth * tune.each, tune.each);
    playing.next += tune.notes.length * tune.each + tune.rest;
  }
  if (context.currentTime >= playing.ends) return stop();
  playing.timer = setTimeout(() => ahead(tune), 500);
}

function note(hz, at, lasts) {
  for (const each of [hz, hz * 1.006]) {
    const voice = new OscillatorNode(context, { type: "square", frequency: each });
    const level = new GainNode(context, { gain: 0 });
    level.gain.setValueAtTime(0, at);
    level.gain.linearRampToValueAtTime(LOUD, at + 0.004);
    level.gain.setValueAtTime(LOUD, at + lasts - 0.012);
    level.gain.linearRampToValueAtTime(0, at + lasts - 0.004);
    voice.connect(level).connect(playing.out);
    voice.start(at);
    voice.stop(at + lasts);
  }
}
