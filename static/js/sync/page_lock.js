// One page of this phone at a time posts and takes in, where the browser has locks.
import * as shop from "../data/state.js";

const TURN_MS = 75_000; // another page is let go first; one that the browser has put to sleep, no longer
let out = () => {};

/** What another page did in its turn is known before this one's: else a tap could be told twice in two ways. */
export async function enter() {
  await turn();
  await shop.reread([], true).catch(() => {});
}

function turn() {
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
