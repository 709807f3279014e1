// What is on its way to the disk, and whether the disk is full: it is until all is written, and is said until the
// person has seen it.
import * as db from "./db.js";

const full = { stands: false, seen: true };

export const isFull = () => full.stands || !full.seen;
/** Whether the disk is full and the person has seen that. */
export const isFullSeen = () => full.stands && full.seen;
export const sawFull = () => void (full.seen = true);

/** Changes go to the disk, now or later; that it is full is said where taps or the server's words meet it.  Why some of
 *  them are not there yet, or null. */
export async function owed(changes) {
  const why = await db.owe(changes);
  if (why?.name === "QuotaExceededError") Object.assign(full, { stands: true, seen: full.stands && full.seen });
  return why;
}

/** What the disk did not take is tried again. */
export async function settle() {
  if (db.owes()) await db.settle();
  if (!db.owes()) full.stands = false;
}
