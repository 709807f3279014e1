// What every tap goes through: keep an act, offer to undo it, say that the shop changed.
import * as acts from "../data/acts.js";
import * as events from "../data/events.js";
import * as shop from "../data/state.js";
import { t } from "../core/base/translate.js";
import { GROUPS } from "../core/base/corrections.js";
import { setVals } from "./act_markup.js";
import { words } from "./describe.js";
import { afterPaint, say, show } from "./dom.js";
import { sayLoose } from "./export_taps.js";

const UNDO_MS = 14_000;
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

function offerUndo(born) {
  const [first, ...along] = born;
  const [back, ...also] = born.map(acts.backOf);
  setVals(document.querySelector("#undo [data-do=undo-last]"), { ...back, also });
  const change = document.querySelector("#undo [data-do=correct]");
  Object.assign(change.dataset, { key: first.id, on: first.on });
  change.hidden = !Object.hasOwn(GROUPS, first.kind) || first.on === "air";
  clearTimeout(undoTimer);
  const alike = along.filter((one) => one.kind === first.kind).length;
  say("undo-words", alike ? t("{what}, and {n} more", { what: words(first), n: alike }) : words(first));
  show("undo", first.kind !== "restored");
  undoTimer = setTimeout(() => show("undo", false), UNDO_MS);
}
