// One page of this phone at a time posts and takes in, where the browser has locks.
const TURN_MS = 75_000; // another page is let go first; one that the browser has put to sleep, no longer
let out = () => {};

export function enter() {
  const patience = new AbortController();
  const late = setTimeout(() => patience.abort(), TURN_MS);
  return new Promise((go) => {
    const inside = () => new Promise((done) => go((out = done)));
    if (navigator.locks) navigator.locks.request("sandtime road", { signal: patience.signal }, inside).catch(go);
    else go();
  }).finally(() => clearTimeout(late));
}

/** The next page of this phone may. */
export const leave = () => out();
