// What one part of the page says to the others, so that a lower one needs to know none of the higher ones.

const listeners = new Map(); // name -> functions

/** Call `listener(detail)` each time that this is said. */
export function listen(name, listener) {
  listeners.set(name, [...(listeners.get(name) ?? []), listener]);
}

/** Say that something happened, to all that listen. */
export function say(name, detail) {
  for (const listener of listeners.get(name) ?? []) listener(detail);
}
