// Displays that show the floor, on the screen of the phones: a keeper makes one a token that reads it, and ends it.
import { NoSignal, request, noAnswer } from "../sync/api.js";
import { t } from "../core/base/translate.js";
import { clock as clockWords } from "../core/base/words.js";
import { paint as paintRow, paintList, say, show } from "../ui/dom.js";

const LOOK_MS = 30_000;
const node = (id) => document.getElementById(id);
let answer = null; // what the server said last: {displays, address}
let why = "";
let looked = -Infinity;

export const actions = {
  "phones-display-make": () => attempt(make),
  "phones-display-end": ({ key }) => attempt(async () => (answer = await ask("/end", { id: key }))),
  "phones-display-copy": copyOut,
};

/** The box of the displays; only keepers see it. */
export function paint(now, zone) {
  if (performance.now() - looked > LOOK_MS) look();
  say("display-why", why);
  const rows = (answer?.displays ?? []).map((one) => ({
    key: one.id,
    name: one.name,
    words: seenWords(one.seen_ms, now, zone),
  }));
  paintList(node("display-list"), "display-row", rows, paintRow);
}

const seenWords = (seen, now, zone) =>
  seen
    ? t("Last asked {time}. [[a display]]", { time: clockWords(seen, now, zone) })
    : t("Has not asked yet. [[a display]]");

async function make() {
  const field = node("display-name");
  if (!field.value.trim()) throw new Error(t("Say where it stands first: one word will do. Nothing was saved."));
  answer = await ask("/make", { name: field.value });
  field.value = "";
  node("display-line").value = `curl -H "Authorization: Bearer ${answer.token}" ${answer.address}`;
  say("display-copy", t("Copy the line"));
  show("display-told", true);
  node("display-head").focus();
}

async function copyOut() {
  node("display-line").select();
  const done = await navigator.clipboard?.writeText(node("display-line").value).then(
    () => true,
    () => false,
  );
  say("display-copy", done ? t("Copied") : t("Marked: now copy it by hand"));
}

async function look() {
  looked = performance.now();
  answer = (await ask("").catch(() => null)) ?? answer;
}

async function attempt(work) {
  why = "";
  await work().catch(
    (trouble) =>
      (why =
        trouble instanceof NoSignal ? noAnswer(t("Displays can be made and ended once it answers.")) : trouble.message),
  );
  say("display-why", why);
}

const ask = (what, fields) => request(`/displays${what}`, fields, t("Nothing was saved."));
