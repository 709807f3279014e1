// New versions of this tool: looked for, offered, or taken by a page that is idle; never while something rings.
import * as shop from "../data/state.js";
import { t } from "../core/base/translate.js";
import { notice } from "../ui/notice.js";

const LOOK_MS = 3 * 3_600_000; // a page that stays open asks so often for a new version
const GAP_MS = 30_000; // and never more often than this
const IDLE_MS = 600_000;
let registration = null;
let lookedAt = 0;
let offered = null; // the waiting version that was said to be here
let touchedAt = -Infinity;

export function start() {
  navigator.serviceWorker?.ready.then((made) => (registration = made));
  addEventListener("online", look);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
  for (const name of ["pointerdown", "keydown"])
    addEventListener(name, () => (touchedAt = performance.now()), { capture: true, passive: true });
}

/** Ask whether there is a new version. */
export function look() {
  if (!registration || rings() || (lookedAt && performance.now() - lookedAt < GAP_MS)) return;
  lookedAt = performance.now();
  registration.update().catch(() => {});
}

/** Called at every tick; a page that plays for a locked phone is armed. */
export function watch(armed) {
  if (!registration || rings()) return;
  if (performance.now() - lookedAt > LOOK_MS) look();
  const { waiting } = registration;
  const idle = !armed && isIdle();
  if (!waiting || !navigator.serviceWorker.controller || (waiting === offered && !idle)) return;
  const use = () => waiting.postMessage("use it now");
  offered = waiting;
  if (idle) use();
  else notice(t("A new version of Sandtime is on this phone."), t("Use it now"), use);
}

const rings = () => document.body.dataset.ringing === "yes";

/** A tablet on the wall that nobody has touched for a while and that promised no sound: it may begin anew by itself. */
const isIdle = () =>
  shop.meta.role === "wall" && performance.now() - touchedAt > IDLE_MS && !document.querySelector("dialog[open]");
