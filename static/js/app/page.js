// The life of this page: its service worker, and when it is loaded anew.
import * as shop from "../data/state.js";

const AGAIN_MS = 5_000;
let heldAt = -AGAIN_MS;
let ends = false; // the page begins anew as soon as no tap is only on it

/** Once the screen stands: take up the service worker. */
export function settle(worker) {
  let asked = Boolean(worker.controller);
  worker.addEventListener("controllerchange", () => {
    if (asked) reload();
    asked = true;
  });
  worker.addEventListener("message", ({ data }) => data?.go && (location.hash = data.go)); // a notification was tapped
  hold(worker);
}

/** The service worker is asked for; again at every tick until it is there: what it holds may not all have come. */
export function hold(worker) {
  if (worker.controller || performance.now() - heldAt < AGAIN_MS) return;
  heldAt = performance.now();
  worker.register("/sw.js").catch(() => {});
}

/** The page begins anew; while taps are only on it, once they are safe: asked again at every tick. */
export function reload(wanted = true) {
  ends ||= wanted;
  if (ends && !shop.onlyHere().length) location.reload();
}
