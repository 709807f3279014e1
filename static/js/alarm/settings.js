// The screen "How this phone rings": each way with what is on, a trial, and what the trial showed.  Loaded when asked
// for.
import { record } from "../ui/record.js";
import { choices, choose } from "./preferences.js";
import { later, t, tn } from "../core/base/translate.js";
import { opens, shuts, wall } from "../core/base/words.js";
import * as lock from "../device/lock.js";
import * as notify from "../device/notify.js";
import * as shake from "../device/shake.js";
import * as sound from "../device/sound.js";
import * as voice from "../device/voice.js";
import * as wake from "../device/wake.js";
import { buttons } from "../ui/dialogs.js";
import { paint as paintRow, paintList, say, set, show } from "../ui/dom.js";
import * as push from "./push.js";
import * as alarm from "./alarm.js";
import * as upcoming from "./upcoming.js";
import * as shop from "../data/state.js";
import { closes } from "./loop.js";
import { paintTrial, trialAct, paintRoster } from "./trial.js";

const DAY_MIN = 1440;
const NIGHT = { from: 22 * 60, to: 6 * 60 };
const KINDS = [
  ["opens", later("Something opens")],
  ["asked", later("Asked again")],
  ["closing", later("A window will close")],
  ["shut", later("A window is shut")],
  ["pot_closing", later("Pot life ends soon")],
  ["pot_shut", later("Pot life over")],
  ["clear", later("Air had time to clear")],
];
let chosenShown = null;

export const actions = {
  ...push.actions,
  "ring-turn": ({ key }) => WAYS[key].turn(),
  "ring-kind": ({ kind }) => {
    const { kinds } = choices();
    return choose({ kinds: kinds.includes(kind) ? kinds.filter((one) => one !== kind) : [...kinds, kind] });
  },
  "ring-quiet": () => choose({ quiet: choices().quiet ? null : NIGHT }),
  "ring-hour": ({ which, by }) => {
    const { quiet } = choices();
    return choose({ quiet: { ...quiet, [which]: (quiet[which] + Number(by) + DAY_MIN) % DAY_MIN } });
  },
  "ring-trial": () => alarm.startTrial(),
  "ring-mine": ({ mine }) => choose({ mine: mine === "yes" }),
  "ring-answer": async ({ rang }) => {
    const trial = { ...shop.meta.trial, rang };
    await shop.remember({ trial });
    if (shop.meta.phone?.length === 36 && shop.meta.role !== "wall") await record(trialAct(trial)); // a wall only looks
  },
};

export function paint(now, zone) {
  if (!document.getElementById("screen-ring")) return;
  const next = upcoming.next(now);
  say(
    "ring-next",
    next
      ? t("Next: {time}. {what}", { time: atWords(next, now, zone), what: upcoming.sentence(next, next.at_ms) })
      : t("Nothing is due on the floor now."),
  );
  paintTrial(now, zone);
  paintList(
    document.getElementById("ring-ways"),
    "ring-way",
    Object.entries(WAYS).map(([key, way]) => wayRow(key, way, now, zone)),
    paintWay,
  );
  paintKinds();
  paintHours(zone);
  paintRoster(now, zone);
  push.paintPush(choices());
}

/** Each way: its name, whether it is on here (null: nothing to turn on), what is true of it now, and its turn. */
const WAYS = {
  alarm: { name: later("The phone's own alarm clock"), on: () => null, words: alarmWords },
  awake: {
    name: later("Screen held awake"),
    on: () => (wake.can() ? choices().awake : null),
    words: awakeWords,
    turn: () => choose({ awake: !choices().awake }),
  },
  sound: {
    name: later("Sound"),
    on: () => (sound.state() === "none" ? null : choices().sound),
    words: soundWords,
    turn: () => turned("sound"),
  },
  shake: {
    name: later("Vibration"),
    on: () => (shake.can() ? choices().shake : null),
    words: shakeWords,
    turn: () => turned("shake"),
  },
  voice: {
    name: later("Voice"),
    on: () => (voice.can() ? choices().voice : null),
    words: voiceWords,
    turn: () => turned("voice"),
  },
  notify: {
    name: later("Notification"),
    on: () =>
      ["default", "granted"].includes(notify.state()) ? notify.state() === "granted" && choices().notify : null,
    words: notifyWords,
    turn: turnNotify,
  },
  track: {
    name: later("Track for the locked phone"),
    on: () => choices().track,
    words: trackWords,
    turn: () => alarm.arm(!choices().track),
  },
};

/** A way turned on is heard at once. */
async function turned(way) {
  await choose({ [way]: !choices()[way] });
  if (choices()[way]) alarm.sample(way);
}

async function turnNotify() {
  const was = notify.state();
  const allowed = (await notify.ask()) === "granted";
  await choose({ notify: allowed && (was !== "granted" || !choices().notify) });
}

function alarmWords(now, zone) {
  const next = upcoming.next(now);
  const set = next
    ? `${t("Set {time}: {what}. [[set an alarm for]]", { time: atWords(next, now, zone), what: upcoming.sentence(next, next.at_ms) })} `
    : "";
  return set + t("The surest way: it rings locked and with no signal. It does not move when the clocks here do.");
}

function awakeWords() {
  if (!wake.can()) return t("This browser cannot hold the screen awake. Set the phone's own screen time longer.");
  const state = wake.isHeld() ? `${t("Held awake now.")} ` : "";
  return (
    state +
    t(
      "While something rings within the hour, the screen stays on as long as Sandtime is in front. It takes battery; a phone that is low may refuse.",
    )
  );
}

function soundWords() {
  if (sound.state() === "none") return t("This browser makes no sound.");
  const state =
    sound.state() === "ready"
      ? t("Ready. [[the sound]]")
      : t("Not unlocked yet: touch the screen once after each start.");
  return `${state} ${t("Rings while Sandtime is open and the phone lets it run. Locked, it may be stopped. Turn the volume up; a silent switch may mute it.")}`;
}

function shakeWords() {
  return shake.can() ? t("While Sandtime is in front.") : t("This phone or browser cannot vibrate for a page.");
}

function voiceWords() {
  return voice.can() ? t("Says what rings, while Sandtime is open.") : t("This browser has no voice.");
}

function notifyWords() {
  const state = {
    none: t("This browser has none. On some phones it comes with Sandtime on the home screen. [[notifications]]"),
    denied: t("Not allowed. It can be allowed again in the browser's settings for this site."),
    default: t("Not asked yet."),
    granted: t("Allowed."),
  }[notify.state()];
  return `${state} ${t("Shown when Sandtime is behind another app and the phone still lets it run.")}`;
}

function trackWords(now, zone) {
  const what = t(
    "One sound that plays on, silent until the tone, so that a locked phone may let Sandtime run on with no signal: the trial shows whether yours does. It takes the phone's sound: music stops. It covers an hour; Sandtime winds it up again while it runs.",
  );
  if (!choices().track) return what;
  if (!lock.isPlaying())
    return `${t("Not playing. {why}.", { why: lock.trouble() || t("Touch the screen once after each start") })} ${what}`;
  const { marks, ends } = lock.current();
  const tones = marks.filter((mark) => mark.at_ms > now).length;
  const time = shuts(ends, now, zone);
  return `${tn("Playing until {time}, {n} tone in it.", "Playing until {time}, {n} tones in it.", tones, { time })} ${what}`;
}

function wayRow(key, way, now, zone) {
  const on = way.on();
  return {
    key,
    name: t(way.name),
    words: way.words(now, zone),
    on: on ? "yes" : "no",
    deed: on === null ? "" : deedWords(key, on),
  };
}

const deedWords = (key, on) =>
  key === "notify" && notify.state() === "default" ? t("Allow it") : on ? t("On. Turn off") : t("Off. Turn on");

function paintWay(row, value) {
  paintRow(row, value);
  set(row, "on", value.on);
  row.querySelector("button").hidden = !value.deed;
}

const atWords = (ring, now, zone) => (closes(ring) ? shuts : opens)(ring.at_ms, now, zone);

function paintKinds() {
  const { kinds, mine } = choices();
  if (chosenShown === `${kinds} ${mine}`) return;
  chosenShown = `${kinds} ${mine}`;
  buttons(
    "ring-kinds",
    KINDS.map(([kind, words]) => [t(words), { do: "ring-kind", kind }, "", kinds.includes(kind)]),
  );
  buttons("ring-mine", [
    [t("Every panel"), { do: "ring-mine", mine: "" }, "", !mine],
    [t("Only panels I took, or that were handed to me"), { do: "ring-mine", mine: "yes" }, "", mine],
  ]);
}

function paintHours(zone) {
  const { quiet } = choices();
  const [from, to] = quiet ? [quiet.from, quiet.to].map((minute) => wall(minute, zone)) : [];
  say("ring-quiet", quiet ? t("Quiet from {from} to {to}. Turn off", { from, to }) : t("No quiet hours. Turn on"));
  show("ring-hours", Boolean(quiet));
  if (!quiet) return;
  say("ring-from", from);
  say("ring-to", to);
}
