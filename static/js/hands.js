// The hands: the road to the server and this phone's own words.  Loaded once the floor stands; what a tap needs comes
// after it (deeds.js), at once where the service worker holds it or something may ring.
import * as clock from "./clock.js";
import * as floor from "./floor.js";
import * as phone from "./phone.js";
import * as screens from "./screens.js";
import * as shop from "./shop.js";
import * as signal from "./signal.js";
import * as sync from "./sync.js";
import { t } from "./core/tongue.js";
import { room } from "./rooms.js";
import { say, set } from "./paint.js";

const ASK_MS = 30_000;
const SOON_MS = 1_500;
const IDLE_MS = 600_000;
const YEAR_MS = 365 * 86_400_000;
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("sandtime") : null;
let main = null;
let deeds = null; // once they are here
let coming = null;
let askedAt = 0;
let touchedAt = -Infinity;
let heardBefore = null;

export function start({ paint, shown, remembers, back }) {
  main = { paint, shown, moved, seen: shop.meta.clock?.seen ?? null }; // when it was last awake
  if (!remembers) phone.noMemory();
  if (back) phone.clockWentBack(back);
  paint();
  const held = navigator.serviceWorker;
  if (held?.controller || mayRing() || screens.open().name !== "floor") bringQuietly();
  held?.addEventListener("controllerchange", bringQuietly);
  if (held?.controller) setTimeout(() => room("lay").catch(() => {}), SOON_MS); // the phone holds it
  sync.start(heard);
  if (channel) channel.onmessage = ({ data }) => otherPage(data);
  for (const name of ["visibilitychange", "pagehide"]) document.addEventListener(name, () => shop.note({ clock: clock.words() }));
  for (const name of ["pointerdown", "keydown"]) addEventListener(name, () => (touchedAt = performance.now()), { capture: true, passive: true });
  addEventListener("beforeunload", (event) => shop.onlyHere().length && event.preventDefault());
  phone.settle();
  if (channel) otherPage({ on: [] }); // what it tapped since this page began to read
  sync.ask();
  import("./live.js").then((live) => live.start(), () => {});
}

/** Called at every tick: a clock that jumped, and a look at the server now and then. */
export function watch() {
  const jump = clock.watch();
  if (jump) {
    phone.jumped(jump, main.paint);
    const asked = sync.probe(1);
    deeds?.wait(asked);
    asked.then(() => sync.ask());
  }
  deeds?.watch();
  shop.settle();
  phone.watch(isIdle());
  if (performance.now() - askedAt > ASK_MS) {
    askedAt = performance.now();
    shop.note({ clock: clock.words() });
    if (document.visibilityState === "visible") sync.ask();
  }
}

/** The signal, and the open screen beside the floor. */
export function paintScreen(open, now, zone) {
  say("signal-words", signal.words());
  set(document.getElementById("signal"), "mood", signal.mark());
  document.getElementById("air").disabled = shop.meta.role === "wall";
  if (shop.meta.meanwhile?.length) import("./meanwhile.js").then((found) => found.paint(), () => {});
  if (deeds && open.name === "floor") import("./unprinted.js").then((found) => found.paint(now), () => {});
  if (deeds) deeds.paintScreen(open, now, zone);
  else if (open.name !== "floor") bringQuietly();
}

/** A button was tapped, or a field changed. */
export async function tapped(button, zone) {
  const late = await bring().catch(() => null);
  if (late) await late.tapped(button, zone);
  else phone.notice(t("Sandtime is not whole on this phone yet, and there is no signal. Nothing was saved: tap again when there is."));
}

/** What taps and rings need; asked again when it did not come. */
function bring() {
  coming ||= import("./deeds.js").then(begun, (why) => {
    coming = null;
    throw why;
  });
  return coming;
}

/** The same ahead of need: who needs them asks again. */
const bringQuietly = () => bring().catch(() => {});

function begun(late) {
  late.start(main);
  late.watch(); // from now on what rings is known, and kept, should the phone be killed the next moment
  deeds = late;
  document.body.dataset.whole = "yes";
  main.paint();
  return late;
}

const mayRing = () => shop.onFloor().length + shop.cups().length > 0;

/** A tablet on the wall that nobody has touched for a while and that promised no sound: it may begin anew by itself. */
const isIdle = () => shop.meta.role === "wall" && performance.now() - touchedAt > IDLE_MS && !document.querySelector("dialog[open]") && !deeds?.isArmed();

/** Another page of this phone changed the shop of the phone ("left"), or these things and the outbox. */
function otherPage(said) {
  if (said === "left") phone.reload();
  else shop.reread(said.on).then(() => main.paint(), () => {});
}

/** Something was kept here: other tabs and the server are told. */
function moved() {
  main.paint();
  channel?.postMessage({ on: [] });
  sync.ask();
}

function heard(cards, changed) {
  for (const card of cards) floor.swapIn(card);
  if (shop.meta.emptied) {
    phone.emptied();
    shop.note({ emptied: false }); // said once
  }
  if (sync.signal.mood === "left") room("join").then((found) => found.moved());
  main.paint();
  if (mayRing()) bringQuietly();
  if (changed !== undefined) channel?.postMessage({ on: changed });
  const isHeard = sync.signal.mood === "heard";
  if (isHeard && heardBefore === false) phone.look(); // a server that was away may have come back with a new version
  heardBefore = isHeard;
  const { zone, zoned } = shop.meta;
  if (zone && (zoned?.name !== zone || zoned.until - clock.now() < YEAR_MS)) shop.note({ zoned: clock.spansOf(zone, clock.now()) });
}
