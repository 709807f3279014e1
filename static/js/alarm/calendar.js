// Alarms for the phone's own calendar: what will ring, of one panel or of the floor, as a file made here with no
// signal.
import { first } from "../core/fold/silence.js";
import { calendar, renewed, since } from "../core/files/ics.js";
import { nameOf, rings, todo, words as ringWords } from "../core/card/alarms.js";
import { later, t, tn } from "../core/base/translate.js";
import { MINUTE_MS } from "../core/base/units.js";
import { clock as clockWords, span } from "../core/base/words.js";
import * as clock from "../data/clock.js";
import { say, show } from "../ui/dom.js";
import { download } from "../device/download.js";
import { closes } from "./loop.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";

const KEPT = "calendar"; // what was handed out: {floor_at, things: {on: {at, events}}}
const FLOOR = "floor";
const LONGEST_UID = 200;
const LONGEST_NAME = 40;
const WARNING = later("As the clocks stood when this file was made. The data sheet rules, and your hand decides.");
const accounts = new Map(); // what the last file of this visit held, by what it was about
let kept = read();
let last = null; // the last file made

addEventListener("storage", ({ key }) => key === KEPT && (kept = read()));

export const actions = {
  "calendar-panel": (data, { on, zone }) => handOut([on], on, views.view(on).name, zone),
  "calendar-floor": (data, { zone }) => handOut(onFloor(), FLOOR, t("floor [[all panels in work]]"), zone),
  "calendar-share": share,
};

/** What is to be said of the files handed out: on a panel's page, and where the floor's file is taken. */
export function paint(now, zone, about) {
  const spot = about.startsWith("panel:") ? "panel" : FLOOR;
  if (!document.getElementById(`calendar-${spot}-words`)) return;
  const name = spot === FLOOR ? FLOOR : about;
  const [words, moved] = wordsOf(name, Math.floor(now), zone);
  say(`calendar-${spot}-words`, words);
  say(`calendar-${spot}-moved`, moved);
  show(
    `calendar-${spot}-share`,
    Boolean(!moved && last?.about === name && navigator.canShare?.({ files: [last.file] })),
  );
}

/** The file of some things: made, given to the phone, and remembered, so that a later one cancels what is gone. */
function handOut(things, about, name, zone) {
  const now = Math.floor(clock.now());
  kept = read();
  const next = Object.fromEntries(things.map((on) => [on, { at: now, events: nextEvents(on, now, zone) }]));
  const events = Object.values(next)
    .flatMap((one) => one.events)
    .sort((one, two) => one.begins_ms - two.begins_ms);
  const text = calendar(events, now, `Sandtime: ${name}`);
  const file = new File([text], fileName(name), { type: "text/calendar" });
  last = { about, file };
  download(file, file.name);
  keep(next, about === FLOOR ? now : kept.floor_at);
  accounts.set(about, account(events, file.name));
}

const nextEvents = (on, now, zone) => renewed(eventsOf(on, now, zone), kept.things[on]?.events ?? [], now, acts(on));

/** What only grows, so that a later file counts higher: with acts on the thing, and on the air that moves its clock. */
const acts = (on) => shop.actsOf(on).length + shop.reach("air");

/** What rings of a thing from now on, as events; a calendar shows minutes, so what opens is told up and what shuts
 *  down. */
function eventsOf(on, now, zone) {
  const state = views.view(on);
  const stands = state.mixed_at ?? state.added_at ?? null;
  if (stands === null) return [];
  const upcoming = rings(on, state, views.times(on), now).map((ring) => eventOf(ring, state, zone));
  return upcoming.filter((event) => event.begins_ms > now);
}

function eventOf(ring, state, zone) {
  const rounded = closes(ring) ? Math.floor : Math.ceil;
  return {
    uid: first(ring.key)
      .replace(/[^0-9A-Za-z]+/g, "-")
      .slice(0, LONGEST_UID),
    begins_ms: rounded(ring.at_ms / MINUTE_MS) * MINUTE_MS,
    until_ms: ring.until_ms,
    summary: ringWords(ring, nameOf(state, ring.area), todo(state, ring.gate, ring.area), ring.at_ms, zone),
    description: [state.job, t(WARNING)].filter(Boolean).join("\n"),
    alarm_min_before: 0,
  };
}

/** All that stands on the floor, and what was handed out and may have to be cancelled. */
const onFloor = () => [...new Set([...queries.onFloor(), ...queries.cups(), ...Object.keys(kept.things)])];

// --- what is said ---

/** What the last file held, and what moved since. */
function wordsOf(about, now, zone) {
  const things = about === FLOOR ? onFloor() : [about];
  const at = about === FLOOR ? kept.floor_at : kept.things[about]?.at;
  const handed = things.flatMap((on) => kept.things[on]?.events ?? []);
  if (!at || !handed.some((event) => !event.cancelled && event.begins_ms > now)) return [accounts.get(about) ?? "", ""];
  const moved = since(
    things.flatMap((on) => eventsOf(on, now, zone)),
    handed,
    now,
  );
  const taken = t("File taken {time}.", { time: clockWords(at, now, zone) });
  return moved
    ? [taken, moved]
    : [`${accounts.get(about) ?? taken} ${t("It does not move when the clocks do: look here again.")}`, ""];
}

function account(events, name) {
  const gone = events.filter((event) => event.cancelled).length;
  const rest = events.length - gone;
  const counts = [
    rest && tn("{n} alarm", "{n} alarms", rest),
    gone && tn("{n} cancelled [[alarm]]", "{n} cancelled [[alarms]]", gone),
  ];
  return (
    t("{what} in {file}. Open it among the phone's downloads.", {
      what: counts.filter(Boolean).join(", "),
      file: name,
    }) + clockOff()
  );
}

/** A calendar rings by the phone's own clock. */
function clockOff() {
  const { offset } = clock.words();
  if (Math.abs(offset) < MINUTE_MS) return "";
  const by = { span: span(Math.abs(offset)) };
  return ` ${offset > 0 ? t("This phone's own clock is {span} slow: it rings late by that.", by) : t("This phone's own clock is {span} fast: it rings early by that.", by)}`;
}

// --- the file ---

/** A name that any phone can keep: letters and digits of any script. */
function fileName(name) {
  const plain = name
    .normalize("NFKD")
    .toLowerCase()
    .replace(/\p{M}/gu, "")
    .replace(/[^\p{L}\p{N}]+/gu, "-");
  const short = [...plain]
    .slice(0, LONGEST_NAME)
    .join("")
    .replace(/^-+|-+$/g, "");
  return `sandtime-${short || "panel"}.ics`;
}

/** A share that the person breaks off is no fault. */
async function share() {
  await navigator.share({ files: [last.file] }).catch((why) => {
    if (why.name !== "AbortError") throw why;
  });
}

// --- what was handed out ---

function read() {
  try {
    const { floor_at: floorAt = null, things = {} } = JSON.parse(localStorage.getItem(KEPT)) ?? {};
    return { floor_at: floorAt, things };
  } catch {
    return { floor_at: null, things: {} };
  }
}

function keep(next, floorAt) {
  const things = Object.entries({ ...kept.things, ...next }).filter(([, { events }]) => events.length);
  kept = { floor_at: floorAt, things: Object.fromEntries(things) };
  try {
    localStorage.setItem(KEPT, JSON.stringify(kept));
  } catch {
    throw new Error(
      t("The file is made, but this phone could not remember it: a later file may leave old alarms standing."),
    );
  }
}
