// What every tap goes through: keep an act, offer to undo it, say that the shop changed.
import * as acts from "../data/acts.js";
import * as events from "../data/events.js";
import * as shop from "../data/state.js";
import { t } from "../core/base/translate.js";
import { words } from "./describe.js";
import { afterPaint, say, show } from "./dom.js";
import { sayLoose } from "./export_taps.js";

const UNDO_MS = 14_000;
let undoable = []; // what the last tap kept
let undoTimer = 0;

/** Keep an act, and those it brings along, paint it, post it. */
export async function record(act, ...along) {
  const why = await shop.keepAll([act, ...along]);
  if (why) sayLoose();
  else events.say("safe");
  offerUndo([act, ...along]);
  events.say("changed", act.on);
  afterPaint().then(() => events.say("kept")); // the other cards, other tabs and the server need not hold up this frame
}

/** Take back what the last tap kept. */
export const undoLast = () => undoable.length && record(...undoable.map(acts.takenBack));

function offerUndo(born) {
  const [first, ...along] = born;
  undoable = first.kind === "restored" ? [] : born;
  clearTimeout(undoTimer);
  const alike = along.filter((one) => one.kind === first.kind).length;
  say("undo-words", alike ? t("{what}, and {n} more", { what: words(first), n: alike }) : words(first));
  show("undo", undoable.length > 0);
  undoTimer = setTimeout(() => show("undo", false), UNDO_MS);
}
