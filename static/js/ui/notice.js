// This phone's page: one notice, a service worker, and beginning anew.
import * as shop from "../data/state.js";
import { say, show } from "./dom.js";

let deed = null;
let closed = null;
let ends = false; // the page begins anew as soon as no tap is only on it

/** One notice on top of the screen, with one button where there is something to do; `over` is called once it was
 *  answered. */
export function notice(words, deedWords = "", work = null, over = null) {
  [deed, closed] = [work, over];
  say("notice-words", words);
  say("notice-deed", deedWords);
  show("notice-deed", Boolean(work));
  show("notice", true);
}

export function hush() {
  show("notice", false);
  closed?.();
}

export function noticeDeed() {
  hush();
  return deed?.();
}

/** Once the screen stands: take up the service worker. */
export function settle(held) {
  let asked = Boolean(held.controller);
  held.addEventListener("controllerchange", () => {
    if (asked) reload();
    asked = true;
  });
  held.addEventListener("message", ({ data }) => data?.go && (location.hash = data.go)); // a notification was tapped
  held.register("/sw.js").catch(() => {});
}

/** The page begins anew; while taps are only on it, once they are safe: asked again at every tick. */
export function reload(wanted = true) {
  ends ||= wanted;
  if (ends && !shop.onlyHere().length) location.reload();
}
