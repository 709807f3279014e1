// Writes values into markup that Django wrote: the only place that does.  Complete and idempotent.
import { setVals } from "./act_markup.js";

const spots = new WeakMap();

/** Write a face, or any flat set of words, into a card or row. */
export function paint(root, values) {
  for (const spot of spotsOf(root)) {
    const value = String(spot.path.reduce((at, key) => at?.[key], values) ?? "");
    if (spot.last !== value) spot.node.textContent = spot.last = value;
  }
}

/** A whole card: words, state, strip, buttons; where a panel has several lanes, the others below the first. */
export function paintCard(card, face) {
  paintPart(card, face);
  const box = card.querySelector(":scope > .lanes");
  if (!face.lanes && !box?.childElementCount) return;
  const others = (face.lanes ?? []).map((one) => ({ key: one.lane, ...one }));
  paintList(box, "lane", others, paintPart);
}

/** A card without its other lanes, or one of those.  Of several lanes each says which step its buttons are about. */
function paintPart(part, face) {
  paint(part, face);
  set(part, "state", face.state);
  paintStrip(part, face.strip);
  if (face.at !== undefined) {
    setVals(part, { lane: face.lane, lane_step: face.at });
  } else if (part.hasAttribute("hx-vals")) {
    part.removeAttribute("hx-vals");
  }
  const focus = document.activeElement;
  for (const button of part.querySelectorAll(":scope > .deeds [data-do]")) {
    const hidden = !face.buttons.includes(button.dataset.do);
    if (button.hidden !== hidden) button.hidden = hidden;
  }
  if (focus.hidden && part.contains(focus))
    part.querySelector(":scope > .deeds button:not([hidden])")?.focus({ preventScroll: true });
}

/** The lane that a button on a card is of, as its acts say it; {} where the panel has one. */
export const laneOf = (button) => JSON.parse(button.closest(".lane, .card")?.getAttribute("hx-vals") ?? "{}");

export function paintStrip(root, strip) {
  set(root.querySelector(".strip"), "shape", strip.shape);
  const mark = root.querySelector("[data-now]");
  const x = String(Math.min(strip.now, 988));
  if (mark.getAttribute("x") !== x) mark.setAttribute("x", x);
}

/** Rows of a list, one for each value, each with a key that stays: made from a template, kept, dropped, ordered.  What
 *  all buttons of a row say of their acts is in `vals`. */
export function paintList(list, template, values, paintRow = paint) {
  const old = new Map([...list.children].map((row) => [row.dataset.key, row]));
  values.forEach((value, at) => {
    const row = old.get(value.key) || copy(template);
    old.delete(value.key);
    row.dataset.key = value.key;
    if (list.children[at] !== row) list.insertBefore(row, list.children[at] || null);
    if (value.vals) setVals(row, value.vals);
    paintRow(row, value);
  });
  for (const row of old.values()) row.remove();
}

/** The one element of a template, copied. */
export const copy = (id) => document.getElementById(id).content.firstElementChild.cloneNode(true);

export function say(id, words) {
  const node = document.getElementById(id);
  if (node.textContent !== words) node.textContent = words;
}

export function show(id, shown) {
  const node = document.getElementById(id);
  if (node.hidden === shown) node.hidden = !shown;
}

export function set(node, key, value) {
  if (node.dataset[key] !== value) node.dataset[key] = value;
}

function spotsOf(root) {
  if (!spots.has(root)) {
    const nodes = [...root.querySelectorAll("[data-text]")];
    spots.set(
      root,
      nodes.map((node) => ({ node, path: node.dataset.text.split("."), last: node.textContent })),
    );
  }
  return spots.get(root);
}

/** Once what was painted is on the screen; a page that nobody sees does not wait. */
export const afterPaint = () =>
  Promise.race([
    new Promise((go) => requestAnimationFrame(() => setTimeout(go))),
    new Promise((go) => setTimeout(go, 100)),
  ]);
