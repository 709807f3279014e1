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

/** A whole card: words, state, strip, buttons. */
export function paintCard(card, face) {
  paint(card, face);
  set(card, "state", face.state);
  paintStrip(card, face.strip);
  const focus = document.activeElement;
  for (const button of card.querySelectorAll(".deeds [data-do]")) {
    const hidden = !face.buttons.includes(button.dataset.do);
    if (button.hidden !== hidden) button.hidden = hidden;
  }
  if (focus.hidden && card.contains(focus))
    card.querySelector(".deeds button:not([hidden])")?.focus({ preventScroll: true });
}

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
