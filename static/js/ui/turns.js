// Taps are taken one after another, so that a quick second tap sees what the first one did.
let last = Promise.resolve();

/** Do this once all that was tapped before is done; what it comes to. */
export function inTurn(work) {
  const done = last.then(work);
  last = done.catch(() => {});
  return done;
}
