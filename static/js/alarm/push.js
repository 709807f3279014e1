// Push from the server, a part of the alarm's settings, as far as this browser has to do with it.  How it stands is the
// server's to say.
import { URGENCY } from "../core/card/alarms.js";
import { t } from "../core/base/translate.js";
import * as push from "../device/push.js";
import * as htmx from "../sync/htmx.js";
import { LOOK, silent } from "../ui/room.js";
import { say, show } from "../ui/dom.js";

const LOOK_MS = 30_000;
const form = () => document.getElementById("push-here");
let looked = -Infinity;
let asked = ""; // what was to ring here when the server was asked last

export const actions = {
  "ring-push-on": ({ server }) => turnOn(server),
  "ring-push-off": () => turnOff(),
  "ring-push-again": () => look(),
};

document.addEventListener("htmx:afterSwap", ({ target }) => {
  if (target.id === "push-tried") looked = performance.now(); // it stands until then
});

/** The server is asked now and then, and at once when other kinds are to ring here, only its own panels, or the quiet
 *  hours are others (null or {from, to} in minutes of the day). */
export function paintPush({ kinds, quiet, mine }) {
  if (!form()) return;
  const wants = {
    kinds: kinds.length < URGENCY.length ? kinds.join(",") : "all",
    quiet: quiet ? `${quiet.from}-${quiet.to}` : "",
    mine: mine ? "yes" : "",
  };
  const own = ownWords();
  say("push-own", own);
  show("push-server", !own);
  if (own || (performance.now() - looked < LOOK_MS && asked === JSON.stringify(wants))) return;
  asked = JSON.stringify(wants);
  fill(wants);
  look();
}

/** Why this browser can take none; "" where it can. */
function ownWords() {
  if (!push.can())
    return t(
      "This browser takes no push messages. On an iPhone or iPad put Sandtime on the home screen first; over plain http there are none.",
    );
  if (!push.forbidden()) return "";
  return t("Notifications are forbidden for Sandtime in this browser's settings: allow them there first.");
}

async function look() {
  looked = performance.now();
  const here = await push.subscription().catch(() => null);
  fill(here ?? { endpoint: "" });
  form().dataset.lost = here
    ? t("Push was asked for on this phone. Whether the server still knows it cannot be told now.")
    : t("Push can be turned on once it answers.");
  if (await htmx.load()) form().dispatchEvent(new CustomEvent(LOOK));
  else silent(form(), "");
}

async function turnOn(server) {
  fill(await push.subscribe(server));
  await post("/push/subscribe");
}

/** Unheard, the server finds out at the next ring. */
async function turnOff() {
  await push.unsubscribe();
  fill({ endpoint: "" });
  form().dataset.lost = t("Push can be turned on once it answers.");
  document.getElementById("push-state").replaceChildren();
  await post("/push/unsubscribe");
}

const post = async (path) => (await htmx.load())?.ajax("POST", path, { source: form() });

function fill(fields) {
  for (const [name, value] of Object.entries(fields)) form().elements[name].value = value;
}
