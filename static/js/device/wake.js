// The screen kept awake: the browser lets go of it whenever the page is hidden, so it is asked for again each time.
let wanted = false;
let lock = null;
let asking = false;

export const can = () => Boolean(navigator.wakeLock);
export const isHeld = () => lock !== null;

/** Keep the screen awake from now on, or let it sleep. */
export function want(yes) {
  wanted = yes;
  if (!yes) lock?.release().catch(() => {});
  else hold();
}

document.addEventListener("visibilitychange", hold);

/** A phone that is low on power refuses; it is asked again at the next turn. */
async function hold() {
  if (!wanted || lock || asking || !can() || document.visibilityState !== "visible") return;
  asking = true;
  try {
    lock = await navigator.wakeLock.request("screen");
    lock.addEventListener("release", () => (lock = null));
    if (!wanted) lock.release().catch(() => {});
  } catch {
    lock = null;
  } finally {
    asking = false;
  }
}
