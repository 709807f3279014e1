// One notice on top of the screen.
import { say, show } from "./dom.js";

let action = null;
let closed = null;

/** One notice on top of the screen, with one button where there is something to do; `over` is called once it was
 *  answered. */
export function notice(words, buttonWords = "", work = null, over = null) {
  [action, closed] = [work, over];
  say("notice-words", words);
  say("notice-deed", buttonWords);
  show("notice-deed", Boolean(work));
  show("notice", true);
}

export function hush() {
  show("notice", false);
  closed?.();
}

export function noticeAction() {
  hush();
  return action?.();
}
