// The floor: cards in order, the line for the hands, the air.
import { stale, lastRead } from "./core/air.js";
import { face } from "./core/face.js";
import { floorOrder, handsLine } from "./core/ring.js";
import { degrees, span } from "./core/words.js";
import * as shop from "./shop.js";
import { copy, paintCard, say, set } from "./paint.js";

const floor = document.getElementById("floor");
const cards = new Map();
let touchedAt = -Infinity;

addEventListener("pointerdown", () => (touchedAt = performance.now()), { capture: true, passive: true });

/** The face of a panel at a moment. */
export const faceOf = (on, now, zone) => face(shop.view(on), shop.times(on), shop.trace(), now, zone);

/** The floor at a moment; at the first, only so many cards, which fill a screen. */
export function paintFloor(now, zone, most = Infinity) {
  const faces = new Map();
  const rows = shop.onFloor().map((on) => row(on, faces, now, zone));
  const ordered = floorOrder(rows).map((one) => one.id).slice(0, most);
  for (const [on, card] of cards) {
    if (!faces.has(on)) {
      card.remove();
      cards.delete(on);
    }
  }
  for (const on of ordered) paintCard(cardOf(on), faces.get(on));
  put(ordered);
  say("hands", handsLine(rows, now, zone));
  paintAir(now);
}

/** A card that Django drew takes the place of the one on the floor. */
export function swapIn(card) {
  const { on } = card.dataset;
  cards.get(on)?.replaceWith(card);
  cards.set(on, card);
}

function row(on, faces, now, zone) {
  const shown = faceOf(on, now, zone);
  faces.set(on, shown);
  const { name, added_at: added } = shop.view(on);
  const { opens_at: opens, shuts_at: shuts, ask_at: ask } = shop.times(on);
  return { id: on, name, added_at: added, mode: shown.state, step: shown.step, say: shown.say, opens_at: opens, shuts_at: shuts, ask_at: ask };
}

function cardOf(on) {
  if (!cards.has(on)) {
    const card = copy("card");
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
  const calm = performance.now() - touchedAt > 1500;
  const fresh = wanted.some((card) => card.parentNode !== floor);
  if (!calm && !fresh) return;
  const focus = document.activeElement;
  wanted.forEach((card, at) => {
    if (floor.children[at] !== card) floor.insertBefore(card, floor.children[at] || null);
  });
  if (focus !== document.activeElement && floor.contains(focus)) focus.focus({ preventScroll: true });
}

function paintAir(now) {
  const air = shop.airState();
  const read = lastRead(air, now);
  const old = stale(air, now);
  set(document.getElementById("air"), "old", old ? "yes" : "no");
  if (!read) return say("air-words", "Temperature? Clocks go by 20 °C");
  const damp = read[2] === null || read[2] === undefined ? "" : `, ${Math.round(read[2] / 10)} %`;
  const age = now - read[0] < 60_000 ? "now" : `${span(now - read[0])} ago`;
  say("air-words", `${degrees(read[1])}${damp}, ${age}${old ? ". Still so?" : ""}`);
}
