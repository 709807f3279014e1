// The connection to the server and this phone's own words.  Loaded once the floor stands; what a tap needs comes after
// it (app/actions.js), at once where the service worker holds it or something may ring.
import * as clock from "../data/clock.js";
import * as events from "../data/events.js";
import { notice } from "../ui/notice.js";
import * as page from "./page.js";
import * as router from "../ui/router.js";
import * as shop from "../data/state.js";
import * as queries from "../data/queries.js";
import * as signal from "../screens/signal.js";
import * as connection from "../sync/connection.js";
import * as sync from "../sync/sync.js";
import { probe } from "../sync/server_clock.js";
import { t } from "../core/base/translate.js";
import { say, set } from "../ui/dom.js";

const ASK_MS = 30_000;
const channel = "BroadcastChannel" in globalThis ? new BroadcastChannel("sandtime") : null;
let actions = null; // once they are here
let loading = null;
let askedAt = 0;
let heardBefore = null;
let live = null;

/** `remembers` is whether this phone held anything, `back` the ms by which its clock went back while it was closed. */
export function start({ remembers, back }) {
  events.listen("kept", moved);
  if (!remembers) seldom("noMemory");
  if (back) seldom("clockWentBack", back);
  events.say("changed");
  const worker = navigator.serviceWorker;
  if (worker?.controller || mayRing() || router.open().name !== "floor") loadActionsQuietly();
  worker?.addEventListener("controllerchange", loadActionsQuietly);
  for (const name of ["resent", "carried"]) events.listen(name, (n) => seldom(name, n));
  events.listen("notes", (notes) =>
    import("./quota_notice.js").then(
      (nearly) => nearly.tell(notes),
      () => {}, // said again with the next tap
    ),
  );
  events.listen("answered", heard);
  sync.start();
  if (channel) channel.onmessage = ({ data }) => otherPage(data);
  for (const name of ["visibilitychange", "pagehide"])
    document.addEventListener(name, () => shop.note({ clock: clock.words() }));
  addEventListener("beforeunload", (event) => shop.onlyHere().length && event.preventDefault());
  if (worker) page.settle(worker);
  else seldom("plainHttp");
  if (channel) otherPage({ on: [] }); // what it tapped since this page began to read
  sync.ask();
  if (worker?.controller) listen();
}

/** Called at every tick: a clock that jumped, and a look at the server now and then. */
export function watch() {
  const jump = clock.watch();
  if (jump) {
    seldom("jumped", jump);
    const asked = probe(1);
    actions?.wait(asked);
    asked.then(() => sync.ask());
  }
  if (navigator.serviceWorker) page.hold(navigator.serviceWorker);
  if (actions) actions.watch();
  else if (navigator.serviceWorker?.controller || mayRing()) loadActionsQuietly();
  shop.settle();
  page.reload(false);
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
  if (shop.meta.meanwhile?.length)
    import("../screens/meanwhile.js").then(
      (screen) => screen.paint(),
      () => {},
    );
  if (actions) actions.paintScreen(open, now, zone);
  else if (open.name !== "floor") loadActionsQuietly();
}

/** Whether htmx takes a click on a button by itself. */
export const takes = (button) => Boolean(actions?.takes(button));

/** A button was tapped, or a field changed. */
export async function tapped(button, zone) {
  const late = await loadActions().catch(() => null);
  if (await late?.isWholeFor(button)) await late.tapped(button, zone);
  else
    notice(
      t("Sandtime is not whole on this phone yet, and there is no signal. Nothing was saved: tap again when there is."),
    );
}

/** Words that are seldom said: the name of one of the notices, and what it is about. */
const seldom = (name, ...about) =>
  import("./notices.js").then(
    (notices) => notices[name](...about),
    () => {},
  );

/** What the others of the shop do is heard at once; in a shop in which nothing was done yet there is nothing to
 *  hear. */
function listen() {
  live ||= import("../sync/live.js").then(
    (stream) => stream.start(),
    () => (live = null),
  );
}

/** What taps and rings need; asked again when it did not come. */
function loadActions() {
  loading ||= import("./actions.js").then(begun, (why) => {
    loading = null;
    throw why;
  });
  return loading;
}

/** The same ahead of need: who needs them asks again. */
const loadActionsQuietly = () => loadActions().catch(() => {});

function begun(late) {
  late.start();
  late.watch(); // from now on what rings is known, and kept, should the phone be killed the next moment
  actions = late;
  listen();
  events.say("changed");
  return late;
}

const mayRing = () => queries.onFloor().length + queries.cups().length > 0;

/** Another page of this phone changed the shop of the phone ("left"), or these things and the outbox. */
function otherPage(message) {
  if (message === "left") page.reload();
  else
    shop.reread(message.on).then(
      () => events.say("changed"),
      () => {},
    );
}

/** Something was kept here: other tabs and the server are told. */
function moved() {
  events.say("changed");
  channel?.postMessage({ on: [] });
  sync.ask();
}

function heard({ changed }) {
  if (shop.meta.emptied) {
    seldom("emptied");
    shop.note({ emptied: false }); // said once
  }
  if (connection.mood() === "left")
    loadActions().then(
      (late) => late.left(),
      () => {},
    );
  events.say("changed");
  if (mayRing()) loadActionsQuietly();
  if (changed !== undefined) channel?.postMessage({ on: changed });
  const isHeard = connection.mood() === "heard";
  actions?.heard(isHeard && heardBefore === false);
  heardBefore = isHeard;
  if (isHeard ? !shop.meta.unused : !["unknown", "asking"].includes(connection.mood())) listen();
}
