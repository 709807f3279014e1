// The floor: cards in order, the quiet list of what cures, the line for the hands, the air.
import { ASSUMED_DC, stale, lastRead } from "../core/clock/air.js";
import * as cup from "../core/card/cup.js";
import { ASKED, STILL, WAITS } from "../core/card/panel_card.js";
import { card as cardFace, rows as rowsOf } from "../core/card/lane_cards.js";
import { floorOrder, handsLine } from "../core/card/floor_order.js";
import { isCuring } from "../core/clock/clock_step.js";
import { t, tn } from "../core/base/translate.js";
import { degrees, span } from "../core/base/words.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { copy, paint, paintCard, paintList, say, set, show } from "../ui/dom.js";

/** Jobs of the demo begin with it. */
export const DEMO = "Demo:";
const floor = document.getElementById("floor");
const cards = new Map();
const orders = new WeakMap(); // card -> areas of its lanes, as they stand on it
let touchedAt = -Infinity;
const FEW_CURING = 4; // rows shown while nothing is due and nobody asks for all
let isCuringWhole = false;

addEventListener("pointerdown", () => (touchedAt = performance.now()), { capture: true, passive: true });

/** The face of a panel at a moment. */
export const faceOf = (on, now, zone) =>
  cardFace(
    views.view(on),
    views.times(on),
    views.felt(on),
    now,
    zone,
    queries.units().temp,
    queries.phones(),
    shop.meta.phone,
  );

/** The face of a cup at a moment. */
export function cupFaceOf(on, now, zone) {
  const state = views.view(on);
  const panels = [...state.for, ...state.used.map(([panel]) => panel)];
  const names = Object.fromEntries(panels.map((panel) => [panel, views.view(panel).name]));
  return cup.face(state, views.times(on), views.trace(), now, zone, names, queries.units());
}

/** The floor at a moment; at the first, only so many cards, which fill a screen. */
export function paintFloor(now, zone, most = Infinity) {
  const faces = new Map();
  const panels = queries.onFloor();
  for (const on of panels) faces.set(on, faceOf(on, now, zone));
  for (const on of queries.cups()) faces.set(on, cupFaceOf(on, now, zone));
  const rows = [...faces].flatMap(([on, shown]) => rowsOn(on, shown));
  const cardRows = rows.filter((one) => !one.curing);
  const ordered = [...new Set(floorOrder(cardRows).map((one) => one.id))].slice(0, most);
  const stands = new Set(cardRows.map((one) => one.id));
  for (const [on, card] of cards) {
    if (!stands.has(on)) {
      card.remove();
      cards.delete(on);
    }
  }
  for (const on of ordered) paintFace(cardOf(on), faces.get(on));
  put(ordered);
  paintCuring(
    rows.filter((one) => one.curing),
    new Map([...faces].map(([on, { job }]) => [on, job])),
  );
  say("hands", handsLine(rows, now, zone));
  show("first", !rows.length);
  show(
    "demo-over",
    panels.some((on) => views.view(on).job.startsWith(DEMO)),
  );
  paintAir(now);
}

/** The one card that a tap was about, ahead of all the others. */
export function paintOne(on, now, zone) {
  const card = cards.get(on);
  if (card && queries.onFloor().includes(on)) paintFace(card, faceOf(on, now, zone));
}

/** A card; its lanes stay where they are while a finger is about to land on one. */
export function paintFace(card, shown) {
  const parts = [shown, ...(shown.lanes ?? [])];
  const old = orders.get(card) ?? [];
  const placeOf = ({ lane }) => (old.includes(lane) ? old.indexOf(lane) : old.length);
  const [first, ...lanes] = isCalm() ? parts : parts.toSorted((a, b) => placeOf(a) - placeOf(b));
  orders.set(
    card,
    [first, ...lanes].map((one) => one.lane),
  );
  paintCard(card, shown.lanes ? { ...first, twice: shown.twice, lanes } : shown);
}

/** What the order of the floor goes by. */
function rowsOn(on, shown) {
  const state = views.view(on);
  const curing = on.startsWith("panel:") && isCuring(state);
  return rowsOf(on, state.added_at ?? state.mixed_at, views.times(on), shown, curing);
}

const isCalm = () => performance.now() - touchedAt > 1500;

function cardOf(on) {
  if (!cards.has(on)) {
    const card = copy(on.startsWith("cup:") ? "cup" : "card");
    card.dataset.on = on;
    card.querySelector("h2").id = `name-${on}`;
    card.setAttribute("aria-labelledby", `name-${on}`);
    cards.set(on, card);
  }
  return cards.get(on);
}

/** Cards in their order; not while a finger is about to land on one. */
function put(ordered) {
  const wanted = ordered.map((on) => cards.get(on));
  const fresh = wanted.some((card) => card.parentNode !== floor);
  if (!isCalm() && !fresh) return;
  const focus = document.activeElement;
  wanted.forEach((card, at) => {
    if (floor.children[at] !== card) floor.insertBefore(card, floor.children[at] || null);
  });
  if (focus !== document.activeElement && floor.contains(focus)) focus.focus({ preventScroll: true });
}

/** All rows of the list of what cures, from the next painting on. */
export const showAllCuring = () => (isCuringWhole = true);

/** Panels that only cure, those that are due first; a tap opens one. */
function paintCuring(rows, jobs) {
  show("curing", rows.length > 0);
  if (!rows.length) return;
  const once = new Set();
  const ordered = floorOrder(rows).filter(({ id }) => !once.has(id) && once.add(id));
  const due = ordered.filter((row) => !isWaiting(row)).length;
  const shown = isCuringWhole ? ordered : ordered.slice(0, Math.max(FEW_CURING, due));
  say("curing-title", tn("Curing: {n} panel", "Curing: {n} panels", rows.length));
  paintList(
    document.getElementById("curing-list"),
    "curing-row",
    shown.map((one) => ({ key: one.id, name: one.name, job: jobs.get(one.id), words: wordsOf(one), mode: one.mode })),
    paintCuringRow,
  );
  show("curing-all", shown.length < rows.length);
  say("curing-all", t("Show all {n}", { n: rows.length }));
}

const isWaiting = ({ mode }) => [WAITS, ASKED, STILL].includes(mode);

/** What it waits for and until when; of one that is due the step first. */
const wordsOf = ({ mode, step, say: said }) => (mode === WAITS ? said : `${step}. ${said}`);

function paintCuringRow(line, value) {
  paint(line, value);
  set(line, "on", value.key);
  set(line, "state", value.mode);
}

function paintAir(now) {
  const air = views.airState();
  const read = lastRead(air, now);
  const old = stale(air, now);
  set(document.getElementById("air"), "old", old ? "yes" : "no");
  if (!read)
    return say("air-words", t("Temperature? Clocks go by {temp}", { temp: degrees(ASSUMED_DC, queries.units().temp) }));
  const damp = read[2] === null || read[2] === undefined ? "" : `, ${Math.round(read[2] / 10)} %`;
  const age = now - read[0] < 60_000 ? t("now") : t("{span} ago", { span: span(now - read[0]) });
  say("air-words", `${degrees(read[1], queries.units().temp)}${damp}, ${age}${old ? `. ${t("Still so?")}` : ""}`);
}
