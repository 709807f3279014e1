// Thermometers on the wall: made and ended by a keeper, with what each said last.  Loaded when first asked for.
import { decimal, t } from "../core/base/translate.js";
import { clock as clockWords } from "../core/base/words.js";
import { NoSignal, request, noAnswer } from "../sync/api.js";
import { paintList, paint as paintRow, say, show } from "../ui/dom.js";
import * as shop from "../data/state.js";
import { degrees } from "../ui/units.js";

const LOOK_MS = 20_000;
const list = document.getElementById("thermometer-list");
const line = document.getElementById("thermometer-line");
let answer = null; // what the server said last: {thermometers, address}
let silent = false;
let looked = -Infinity;

export const actions = {
  "thermometer-make": make,
  "thermometer-end": async ({ key }) => {
    answer = await ask("/end", { id: key });
  },
  "thermometer-copy": copyOut,
};

/** The screen, whole; the server is asked now and then. */
export function paint(now, zone) {
  if (performance.now() - looked > LOOK_MS) look(() => paint(now, zone));
  const keeper = shop.meta.role === "keeper";
  const meters = answer?.thermometers ?? [];
  say("thermometer-words", words(meters, keeper));
  paintList(
    list,
    "thermometer-row",
    meters.map((one) => ({ key: one.id, name: one.name, words: lastWords(one, now, zone) })),
    (row, value) => {
      paintRow(row, value);
      row.querySelector("button").hidden = !keeper;
    },
  );
  show("thermometer-new", keeper);
}

function words(meters, keeper) {
  if (silent) return noAnswer(t("Thermometers can be seen, made and ended once it answers."));
  if (!answer) return t("Asking the server");
  const none = meters.length ? "" : t("None yet. [[thermometers]]");
  return keeper ? none : `${none} ${t("Only a keeper's phone makes and ends them. [[thermometers]]")}`.trim();
}

function lastWords({ last, seen_ms: seen }, now, zone) {
  if (last.at === undefined)
    return seen
      ? t("Heard {time}, but no good reading yet. [[a thermometer]]", { time: clockWords(seen, now, zone) })
      : t("Not heard yet. [[a thermometer]]");
  const [temp, read, heard] = [degrees(last.temp_dc), clockWords(last.at, now, zone), clockWords(seen, now, zone)];
  if (last.rh_pm === undefined)
    return t("{temp}, read {read}. Last heard {heard}. [[a thermometer]]", { temp, read, heard });
  return t("{temp}, {damp} %, read {read}. Last heard {heard}. [[a thermometer]]", {
    temp,
    damp: decimal(String(last.rh_pm / 10)),
    read,
    heard,
  });
}

async function make() {
  const field = document.getElementById("thermometer-name");
  if (!field.value.trim()) throw new Error(t("Say where it hangs first: one word will do. Nothing was saved."));
  answer = await ask("/make", { name: field.value });
  field.value = "";
  line.value = commandOf(answer);
  say("thermometer-copy", t("Copy the line"));
  show("thermometer-told", true);
  document.getElementById("thermometer-head").focus();
}

const commandOf = ({ address, token }) =>
  [
    `curl -H "Authorization: Bearer ${token}"`,
    '-H "Content-Type: application/json"',
    address,
    `-d '{"temp_c": 18.5, "humidity_percent": 52}'`,
  ].join(" ");

async function copyOut() {
  line.select();
  const done = await navigator.clipboard?.writeText(line.value).then(
    () => true,
    () => false,
  );
  say("thermometer-copy", done ? t("Copied") : t("Marked: now copy it by hand"));
}

async function look(then) {
  looked = performance.now();
  const fresh = await ask("").catch(() => null);
  if (fresh) answer = fresh;
  then();
}

/** Asked, and noted whether the server answers at all. */
async function ask(what, fields) {
  try {
    const body = await request(`/thermometers${what}`, fields, t("Nothing was saved."));
    silent = false;
    return body;
  } catch (why) {
    silent = why instanceof NoSignal;
    throw why;
  }
}
