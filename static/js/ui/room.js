// A room of which only the server knows what stands in it: htmx asks for its markup, this asks htmx.  Loaded when first
// asked for.
import * as shop from "../data/state.js";
import * as router from "./router.js";
import * as htmx from "../sync/htmx.js";
import { noAnswer } from "../sync/api.js";
import { copyOut } from "../device/clipboard.js";
import { t } from "../core/base/translate.js";

export const LOOK = "sandtime:look"; // what each part of a room asks the server at
const looked = new WeakMap(); // when a part was asked for

export const actions = {
  "room-again": () => partsOf(openRoom()).forEach(look),
  "room-copy": ({ field }) => copyText(document.getElementById(field)),
  "room-clear": ({ field }) => document.getElementById(field).replaceChildren(),
};

document.addEventListener("htmx:beforeRequest", ({ target, detail }) => {
  if (isOfRoom(target) && !isLook(detail)) sayBeside(target, "");
});
document.addEventListener("htmx:afterRequest", ({ target, detail }) => isOfRoom(target) && heard(target, detail));

const openRoom = () => document.querySelector(`#screen-${router.open().name} [data-room]`);
const isLook = ({ requestConfig }) => requestConfig.triggeringEvent?.type === LOOK;
const isOfRoom = (node) => Boolean(node.closest("[data-served]"));

/** At every tick of an open room: asked for whole where it is empty or this phone's role is another one, else its
 *  parts are looked at anew, each in its own time (data-look, ms). */
export function paint() {
  const room = openRoom();
  if (!room) return; // left while this was loaded
  const isNew = room.dataset.role !== String(shop.meta.role);
  room.dataset.role = shop.meta.role;
  if (isNew) return look(room);
  partsOf(room).filter(isDue).forEach(look);
}

/** What is asked for by itself; an empty room is one part. */
const partsOf = (room) => (room.childElementCount ? [...room.querySelectorAll("[data-look]")] : [room]);

function isDue(part) {
  const now = performance.now();
  if (!looked.has(part)) looked.set(part, now);
  return now - looked.get(part) > Number(part.dataset.look);
}

async function look(part) {
  looked.set(part, performance.now());
  if (await htmx.load()) part.dispatchEvent(new CustomEvent(LOOK));
  else silent(part, "");
}

/** What became of a request: a look that failed is said on top of the room, an act that failed beside its button. */
function heard(node, detail) {
  const { xhr, successful } = detail;
  if (successful) silent(node, null);
  else if (isLook(detail)) silent(node, wordsOf(xhr));
  else sayBeside(node, wordsOf(xhr) || noAnswer(node.dataset.lost ?? t("Nothing was changed.")));
}

/** The server's own words, which are plain text; "" where it did not answer. */
function wordsOf(xhr) {
  if (!xhr.status) return "";
  const isOurs = xhr.getResponseHeader("Content-Type")?.startsWith("text/plain");
  return isOurs ? xhr.responseText : t("The server has trouble. Clocks keep running");
}

/** On top of the room: why there is nothing new, with an offer to ask again; null where there is. */
export function silent(node, words) {
  const screen = node.closest("[data-served]");
  const [spot, again] = [screen.querySelector("[data-asked]"), screen.querySelector("[data-again]")];
  if (!spot) return;
  spot.textContent = words === null ? "" : words || noAnswer(node.dataset.lost ?? spot.dataset.lost);
  again.hidden = words === null;
}

/** Beside a button: the nearest spot for what went wrong. */
export function sayBeside(node, words) {
  const spot = node.querySelector("[role=alert]");
  if (spot) spot.textContent = words;
  else if (node.dataset.served === undefined) sayBeside(node.parentElement, words);
}

async function copyText(field) {
  field.parentElement.querySelector("[data-do=room-copy]").textContent = await copyOut(field);
}
