// Push from the server, a part of the alarm's settings: whether it rings this phone, on, off, a trial.
import { URGENCY } from "../core/card/alarms.js";
import { t, tn } from "../core/base/translate.js";
import { clock as clockWords } from "../core/base/words.js";
import * as push from "../device/push.js";
import { NoSignal, request, noAnswer } from "../sync/api.js";
import { copy, say, show } from "../ui/dom.js";
import { seconds } from "../ui/units.js";

const LOOK_MS = 30_000;
let here = null; // this browser's subscription
let there = null; // what the server holds for this phone, null while it was not asked
let silent = false; // the server did not answer
let looked = -Infinity;
let wants = {}; // what rings on this phone
let tryAt = 0;

export const actions = {
  "ring-push-on": () => turnOn(),
  "ring-push-off": () => turnOff(),
  "ring-push-try": async () => (tryAt = (await ask("trial", {})).at_ms),
};

/** Push in its own box, painted whole at every call; the server is asked now and then, and told when other kinds
 *  are to ring here, only its own panels, or the quiet hours are others (null or {from, to} in minutes of the day). */
export function paintPush(now, zone, { kinds, quiet, mine }) {
  const box = document.getElementById("ring-push");
  if (!box) return;
  if (!box.firstElementChild) box.append(copy("push-box"));
  wants = {
    kinds: kinds.length < URGENCY.length ? kinds.join(",") : "all",
    quiet: quiet ? `${quiet.from}-${quiet.to}` : "",
    mine: mine ? "yes" : "",
  };
  if (push.can() && performance.now() - looked > LOOK_MS) look();
  else if (isOn() && !silent && wantsOf(there.wants) !== wantsOf(asHeld())) tell();
  say("push-words", words(now, zone));
  say(
    "push-tried",
    tryAt > now ? t("It rings at {time}. Lock the phone now.", { time: seconds(tryAt, now, zone) }) : "",
  );
  show("push-on", push.can() && !push.forbidden() && !isOn());
  show("push-off", isOn());
  show("push-try", isOn());
}

const isOn = () => Boolean(here) && there?.endpoint === here.endpoint;

function words(now, zone) {
  if (!push.can())
    return t(
      "This browser takes no push messages. On an iPhone or iPad put Sandtime on the home screen first; over plain http there are none.",
    );
  if (push.forbidden())
    return t("Notifications are forbidden for Sandtime in this browser's settings: allow them there first.");
  if (silent)
    return noAnswer(
      here
        ? t("Push was asked for on this phone. Whether the server still knows it cannot be told now.")
        : t("Push can be turned on once it answers."),
    );
  if (!there) return t("Asking the server");
  if (!here && !there.endpoint)
    return t("Off. With signal the server can ring this phone while Sandtime is closed and the phone is locked.");
  if (!isOn()) return t("It has ended, or never quite begun: the server cannot ring this phone. Turn it on again.");
  const words = [t("On. It rings where there is signal, also with Sandtime closed"), toldWords(now, zone), failWords()];
  return `${words.filter(Boolean).join(". ")}.`;
}

const toldWords = (now, zone) =>
  there.last_ok_ms &&
  t("The push service last took a message for it at {time}", { time: clockWords(there.last_ok_ms, now, zone) });

const failWords = () =>
  there.fails > 0 &&
  tn("The last message did not get through", "The last {n} messages did not get through", there.fails);

async function look() {
  looked = performance.now();
  here = await push.subscription().catch(() => null);
  there = await ask("key").catch(() => there);
}

async function turnOn() {
  const { key } = there?.key ? there : await ask("key");
  here = await push.subscribe(key);
  await report(key);
}

/** What rings here has changed: said quietly, and again at the next look where it was not heard. */
async function tell() {
  looked = performance.now();
  there = { ...there, wants: asHeld() };
  await report(there.key).catch(() => {});
}

async function report(key) {
  there = { key, ...(await ask("subscribe", { ...here, ...wants })) };
}

async function turnOff() {
  await push.unsubscribe();
  here = null;
  // unheard, the server finds out at the next ring
  there = await ask("unsubscribe", {}).catch(() => ({ endpoint: "" }));
  looked = -Infinity;
}

/** What this phone wants as the server holds it. */
const asHeld = () => ({
  ...(wants.kinds !== "all" && { kinds: wants.kinds.split(",").filter(Boolean) }),
  ...(wants.quiet && { quiet: wants.quiet.split("-").map(Number) }),
  ...(wants.mine && { mine: true }),
});

const wantsOf = ({ kinds, quiet, mine }) => JSON.stringify([kinds, quiet, mine]);

/** Asked, and noted whether the server answers at all. */
async function ask(what, fields) {
  try {
    const answer = await request(`/push/${what}`, fields);
    silent = false;
    return answer;
  } catch (why) {
    silent = why instanceof NoSignal;
    throw why;
  }
}
