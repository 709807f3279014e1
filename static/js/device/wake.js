// The screen kept awake: the browser lets go of it whenever the page is hidden, so it is asked for again each time.
let wanted = false;
let held = null;
let asking = false;

export const can = () => Boolean(navigator.wakeLock);
export const isHeld = () => held !== null;

/** Keep the screen awake from now on, or let it sleep. */
export function want(yes) {
  wanted = yes;
  if (!yes) held?.release().catch(() => {});
  else hold();
}

document.addEventListener("visibilitychange", hold);

/** A phone that is low on power refuses; it is asked again at the next turn. */
async function hold() {
  if (!wanted || held || asking || !can() || document.visibilityState !== "visible") return;
  asking = true;
  try {
    held = await navigator.wakeLock.request("screen");
    held.addEventListener("release", () => (held = null));
    if (!wanted) held.release().catch(() => {});
  } catch {
    held = null;
  } finally {
    asking = false;
  }
}
