// The first moment: what the phone holds, painted; then the connection is loaded, and with it all the rest.
import * as clock from "../data/clock.js";
import * as events from "../data/events.js";
import { afterPaint } from "../ui/dom.js";
import * as floor from "../screens/floor.js";
import * as router from "../ui/router.js";
import { inTurn } from "../ui/turns.js";
import * as shop from "../data/state.js";
import * as queries from "../data/queries.js";
import { early } from "../data/db.js";
import { speak } from "../core/base/translate.js";

const HTMX = "[hx-post], [hx-get]";
const TAKEN = { click: "button:is([hx-post], [hx-get])", submit: "form[hx-post]" };
const TICK_MS = 1_000;
const STAYS_MS = 200;
/** Cards that surely fill a screen; the others follow a few at a time, so that a tap never waits long. */
const FEW = Math.ceil((innerWidth * innerHeight) / 80_000);
let online = null;
let pressed = null;

async function start() {
  speak(JSON.parse(document.getElementById("phrases")?.textContent ?? "{}"));
  for (const name of ["pointerdown", "pointercancel"]) document.addEventListener(name, press, { passive: true });
  document.addEventListener("pointerup", (event) => setTimeout(press, STAYS_MS, event), { passive: true });
  for (const name of Object.keys(TAKEN)) document.addEventListener(name, beforeHtmx, true);
  document.addEventListener("click", clicked);
  document.addEventListener("change", ({ target }) => target.dataset.change && dispatch(target));
  document.addEventListener("submit", submitted);
  addEventListener("hashchange", () => {
    router.turn();
    paint();
  });
  // has its line from the first frame on
  if (!navigator.onLine) document.getElementById("signal").dataset.mood = "away";
  events.listen("changed", (on) => (on ? paint(Infinity, on) : paint()));
  const loaded = await shop.load(early).catch(() => null);
  const back = clock.resume(loaded?.meta.clock);
  router.turn();
  // loaded beside app/online.js, which asks again
  if (router.open().name !== "floor") import("./actions.js").catch(() => {});
  paint(FEW);
  document.body.dataset.ready = "yes";
  performance.mark?.("sandtime-ready");
  for (let most = FEW; most < queries.onFloor().length + queries.cups().length; most += FEW) {
    await afterPaint();
    paint(most + FEW);
  }
  online = await import("./online.js");
  online.start({ remembers: Boolean(loaded), back });
  setInterval(tick, TICK_MS);
}

function tick() {
  online.watch();
  if (document.visibilityState === "visible" && !pressed) paint(); // a finger's answer goes first
}

/** The floor and the open screen; of a floor with only so many cards, or with only the one that a tap was about. */
function paint(most, only) {
  const now = Math.floor(clock.now());
  const zone = queries.zone();
  if (only) floor.paintOne(only, now, zone);
  else floor.paintFloor(now, zone, most);
  online?.paintScreen(router.open(), now, zone);
  if (!only) Object.assign(document.body.dataset, { paintedAt: now, role: shop.meta.role });
}

/** Taps that come before app/online.js is loaded wait for it. */
function dispatch(node) {
  inTurn(() => standing.then(() => online.tapped(node, queries.zone())));
}

/** What a finger is on says so at once, while the phone still keeps the tap. */
function press({ type, target }) {
  pressed?.removeAttribute("data-pressed");
  pressed = type === "pointerdown" ? target.closest("button, .bar a") : null;
  pressed?.setAttribute("data-pressed", "");
}

/** A button or form that is htmx's, tapped before htmx or its outbox is there: the tap waits, and is then taken. */
function beforeHtmx(event) {
  const node = event.target.closest(TAKEN[event.type]);
  if (!node || online?.takes(node)) return;
  event.preventDefault();
  event.stopImmediatePropagation();
  dispatch(node);
}

function clicked(event) {
  const button = event.target.closest("[data-do]");
  if (button && !button.matches(HTMX)) dispatch(button);
}

/** Enter in a form field is the main button of that sheet, never a reload and never Cancel: each form begins with a
 *  hidden button, which a browser takes for the one that Enter means. */
function submitted(event) {
  if (event.submitter?.value === "cancel") return;
  event.preventDefault();
  event.target.querySelector(".deed[data-do], .stack [data-do]")?.click();
}

const standing = start();
