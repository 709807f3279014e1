// A trial of ringing: asked for, what it showed on this phone, and what the other phones of the shop told of theirs.
import * as acts from "../data/acts.js";
import { choices } from "./preferences.js";
import { LATE_MS, WAYS as TRIED } from "../core/acts/schema.js";
import { later, t } from "../core/base/translate.js";
import { clock as clockWords, span } from "../core/base/words.js";
import { roster } from "../data/roster.js";
import * as notify from "../device/notify.js";
import * as shake from "../device/shake.js";
import * as sound from "../device/sound.js";
import * as voice from "../device/voice.js";
import { paintList, say, show } from "../ui/dom.js";
import * as alarm from "./alarm.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { seconds } from "../ui/units.js";

const RANG = {
  yes: later("It was heard."),
  late: later("It rang only when the phone was looked at."),
  no: later("It was not heard."),
};
const WAY_WORDS = {
  ...{
    sound: later("sound [[a way of ringing]]"),
    shake: later("vibration [[a way of ringing]]"),
    voice: later("voice [[a way of ringing]]"),
  },
  ...{ notify: later("notification [[a way of ringing]]"), track: later("track [[a way of ringing: one long sound]]") },
};

export function paintTrial(now, zone) {
  const { trial } = shop.meta;
  const ends = alarm.trialEnds();
  say(
    "ring-trial",
    ends === null
      ? t("Ring in 30 seconds: I lock the phone now")
      : t("Rings at {time}: lock the phone", { time: seconds(ends, ends, zone) }),
  );
  show("ring-trial-asked", Boolean(trial) && !trial.rang && ends === null);
  say("ring-trial-words", ends === null && trial ? trialWords(trial, now, zone) : "");
}

/** What the trial showed, and no more than that. */
function trialWords({ at, late_ms: late, hidden, track, rang }, now, zone) {
  const where = hidden ? t("locked or behind another app") : t("with Sandtime in front");
  const values = {
    time: clockWords(at, now, zone),
    how: [where, track && t("with the track playing")].filter(Boolean).join(", "),
    late: lateWords(late),
  };
  const what = isLate(late)
    ? t("Trial {time}, {how}: this page rang {late} late.", values)
    : t("Trial {time}, {how}: this page rang on time.", values);
  return [what, rang in RANG && t(RANG[rang])].filter(Boolean).join(" ");
}

const isLate = (late) => late >= 1_500;

const lateWords = (late) => (late < 60_000 ? `${Math.round(late / 1000)} s` : span(late));

/** The trial for the other phones of the shop. */
export const trialAct = ({ hidden, track, late_ms: late, rang }) =>
  acts.born("shop", "trial_told", {
    phone: shop.meta.phone,
    ways: waysOf(hidden, track),
    locked: hidden,
    heard: rang,
    late_ms: Math.min(late, LATE_MS),
  });

/** What rang in a trial: what is on and can be had here; the track sounds in the place of the sound. */
function waysOf(hidden, track) {
  const { sound: sings, shake: shakes, voice: speaks, notify: shows } = choices();
  const on = {
    sound: sings && !track && sound.state() !== "none",
    shake: shakes && shake.can(),
    voice: speaks && voice.can(),
    notify: hidden && shows && notify.state() === "granted",
    track,
  };
  return TRIED.filter((way) => on[way]);
}

export function paintRoster(now, zone) {
  const { trials = {} } = views.view("shop");
  const rows = roster(now).map(({ id, title }) => ({
    key: id,
    title,
    words: trials[id] ? lastWords(trials[id], now, zone) : t("No trial told yet."),
  }));
  paintList(document.getElementById("ring-crew"), "ring-phone", rows);
}

/** What a phone's last trial showed: "Last trial 14:02: rang 2 s late, locked. By sound, vibration." */
function lastWords({ at, ways, locked, heard, late_ms: late }, now, zone) {
  const values = {
    time: clockWords(at, now, zone),
    rang: rangWords(heard, late),
    where: locked ? t("locked [[the phone was]]") : t("with Sandtime in front"),
  };
  const by = ways.length ? ` ${t("By {ways}.", { ways: ways.map((way) => t(WAY_WORDS[way])).join(", ") })}` : "";
  return t("Last trial {time}: {rang}, {where}.", values) + by;
}

function rangWords(heard, late) {
  if (heard === "late") return t("rang only when it was looked at");
  if (heard === "no") return t("was not heard");
  if (late === null) return t("rang [[the phone did]]");
  return isLate(late) ? t("rang {late} late", { late: lateWords(late) }) : t("rang on time");
}
