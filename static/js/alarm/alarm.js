// Ringing on this phone: each second what is due of all panels and cups, told once, as loud as the phone can.
import { record } from "../ui/record.js";
import * as acts from "../data/acts.js";
import { choices, choose, isOurs, isQuietAt } from "./preferences.js";
import * as clock from "../data/clock.js";
import * as due from "../core/card/alarms.js";
import * as lock from "../device/lock.js";
import * as notify from "../device/notify.js";
import * as push from "../device/push.js";
import * as shake from "../device/shake.js";
import * as sound from "../device/sound.js";
import * as voice from "../device/voice.js";
import * as wake from "../device/wake.js";
import * as gaps from "./gaps.js";
import * as router from "../ui/router.js";
import * as shop from "../data/state.js";
import * as queries from "../data/queries.js";
import { t } from "../core/base/translate.js";
import { span } from "../core/base/words.js";
import { paintList, say, show } from "../ui/dom.js";
import { looped } from "./loop.js";
import { everything, sentence, thing, placeOf, tuneOf } from "./upcoming.js";
import { covered, wind } from "./track.js";

const RING_MS = { opens: 25_000, closes: 60_000 };
const AGAIN_MS = 300_000;
const AWAKE_MS = 3_600_000; // the screen stays awake for what rings within the hour
const LATE_MS = 5_000;
const PATIENCE_MS = 3_000;
const TRIAL_MS = 30_000;
const TRIAL = "trial";
const live = new Map(); // key -> {ring, late_ms}: what rings now, until someone answers
let loop = null;
let heldUntil = 0;
let trialAt = null;
let wound = false; // a tap has let the track play

/** Once the actions are there. */
export function start() {
  const seen = clock.lastSeen();
  loop = looped(shop.meta.rung, seen, seen === null ? [] : everything(seen));
  // a page that begins anew may not play before a tap
  if (seen !== null && choices().track) gaps.lost(seen, queries.zone());
  push.listen().catch(() => {});
  for (const device of [lock, sound]) device.onTaken(taken);
  for (const name of ["pointerdown", "click"])
    document.addEventListener(name, touched, { capture: true, passive: true });
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && back());
  document.addEventListener("resume", () => back());
}

/** A clock that jumped ahead: nothing rings until the server's word on the time, or a moment's patience. */
export function wait(asked) {
  heldUntil = performance.now() + PATIENCE_MS;
  asked.finally(() => (heldUntil = 0));
}

/** Called at every tick. */
export function watch() {
  if (!loop || performance.now() < heldUntil) return;
  const now = Math.floor(clock.now());
  const all = everything(now);
  const { fresh, missed, gap, changed } = loop.turn(all, now, {
    kinds: choices().kinds,
    quiet: isQuietAt(now),
    isOurs,
  });
  if (changed) shop.note({ rung: loop.kept(), clock: clock.words() });
  const keys = new Set(all.filter(isOurs).map((ring) => ring.key));
  for (const key of [...live.keys()]) if (!keys.has(key)) drop(key);
  if (fresh.length || missed.length) ring(fresh, missed, gap, now);
  if (gaps.regained(now, queries.zone(), choices().track) && live.size && !fresh.length) again(rung(), now);
  tryOut(now);
  wake.want(choices().awake && (live.size > 0 || trialAt !== null || soon(all, now)));
  if (choices().track && wound) wind(all, now, trialAt);
  paint(now);
}

export const actions = {
  silence: ({ key }) => answered(key, "ring_silenced"),
  snooze: ({ key }) => answered(key, "ring_snoozed", { until_ms: Math.floor(clock.now()) + AGAIN_MS }),
  "go-to": async ({ key }) => {
    await answered(key, "ring_silenced");
    router.go(placeOf(key));
  },
  "ring-over": () => {
    gaps.read();
    hush();
    paint(Math.floor(clock.now()));
  },
};

/** Ring in 30 seconds, however the phone lies then. */
export function startTrial() {
  trialAt = Math.floor(clock.now()) + TRIAL_MS;
  shop.note({ [TRIAL]: null });
  watch();
}

export const trialEnds = () => trialAt;
/** Whether the page has promised a sound that a page begun anew could not make before a tap. */
export const isArmed = () => lock.isPlaying() || trialAt !== null;

/** Start or stop the track of the locked phone; by a tap, or the browser will not play it. */
export async function arm(yes) {
  await choose({ track: yes });
  wound = yes;
  if (!yes) return lock.stop();
  watch();
}

/** One way tried now, for a moment. */
export function sample(way) {
  if (way === "sound") sound.start("opens", 3_000);
  if (way === "shake") shake.shake("opens");
  if (way === "voice") voice.speak(t("Left door: coat 2 can go on."));
}

const soon = (all, now) => all.some((one) => one.at_ms > now && one.at_ms < now + AWAKE_MS);

/** A touch unlocks the sound and the track; a browser may count a finger only once it has left the glass. */
function touched() {
  const heard = sound.unlock();
  if (!choices().track || lock.isPlaying()) return;
  wound = true;
  back(heard);
}

/** Before the person again, or let run on: the sound is taken up again, and what is overdue rings at once. */
async function back(heard = sound.resume()) {
  watch();
  await Promise.all([heard, lock.current() && !lock.isPlaying() && lock.resume()]);
  watch();
}

function taken() {
  const now = Math.floor(clock.now());
  if (choices().track || choices().sound) gaps.lost(now, queries.zone());
  paint(now);
}

function ring(fresh, missed, gap, now) {
  for (const one of fresh) live.set(one.key, { ring: one, late_ms: gap ? now - one.at_ms : 0 });
  const slept = gap && (missed.length || fresh.some((one) => now - one.at_ms > LATE_MS));
  if (slept)
    gaps.slept(
      missed.map((one) => sentence(one, now)),
      gap,
      now,
      queries.zone(),
    );
  if (!fresh.length) return;
  const sentences = fresh.map((one) => sentence(one, now));
  if (!fresh.every((one) => push.hasRung(one.key)))
    sing(
      tuneOf(fresh),
      sentences,
      fresh.every((one) => covered(one, now)),
    );
  if (document.visibilityState === "hidden" && choices().notify)
    for (const [nth, { key }] of fresh.entries()) notify.show(sentences[nth], "", key, `/${placeOf(key)}`);
}

function sing(tune, sentences, byTrack) {
  if (choices().sound && !byTrack) sound.start(tune, RING_MS[tune]);
  if (choices().shake) shake.shake(tune);
  if (choices().voice) voice.speak(sentences.join(". "));
}

/** What the sound was taken from in the middle rings again. */
const again = (rings, now) =>
  sing(
    tuneOf(rings),
    rings.map((one) => sentence(one, now)),
    false,
  );

/** What rings now, the most urgent first. */
const rung = () => due.urgentFirst([...live.values()].map((one) => one.ring));

async function answered(key, kind, fields = {}) {
  hush();
  if (!live.has(key)) return; // a second tap on the same row
  const born = acts.born(thing(key), kind, { ring: key, ...fields });
  drop(key);
  if (!live.size) gaps.read();
  await record(born);
  watch();
}

function drop(key) {
  if (!live.delete(key)) return;
  notify.take(key);
  if (!live.size) hush();
}

function hush() {
  sound.stop();
  shake.stop();
  voice.hush();
}

/** The list of what rings, over whatever sheet is open. */
function paint(now) {
  const sheet = document.getElementById("ringing");
  const shows = live.size > 0 || gaps.words() !== "";
  document.body.dataset.ringing = shows ? "yes" : "no";
  const host = [...document.querySelectorAll("dialog:modal")].at(-1) ?? document.body;
  if (sheet.parentNode !== host) host.append(sheet);
  const rings = rung();
  paintList(
    document.getElementById("ringing-list"),
    "ringing-row",
    rings.map((one, nth) =>
      rowOf(one, now, rings.length > 1 ? t("{n} of {all}.", { n: nth + 1, all: rings.length }) : ""),
    ),
  );
  say("ringing-missed", gaps.words());
  show("ringing-over", Boolean(gaps.words()) && !live.size);
  show("ringing", shows);
}

function rowOf(one, now, place) {
  const late = live.get(one.key).late_ms;
  return {
    key: one.key,
    words: sentence(one, now),
    late: [place, late > LATE_MS ? t("Rings {span} late.", { span: span(late) }) : ""].join(" ").trim(),
  };
}

/** The trial's moment: the same ways as a ring, and how late the page was. */
function tryOut(now) {
  if (trialAt === null || now < trialAt) return;
  const result = {
    at: trialAt,
    late_ms: now - trialAt,
    hidden: document.visibilityState === "hidden",
    track: lock.isPlaying(),
    rang: "",
  };
  sing("opens", [t("This is the trial.")], covered({ at_ms: trialAt }, now));
  if (result.hidden && choices().notify)
    notify.show(t("Sandtime: this is the trial"), t("Did it ring?"), TRIAL, "/#ring");
  trialAt = null;
  shop.note({ [TRIAL]: result });
}
