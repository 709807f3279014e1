// Asked before a panel is taken out of the whole shop: its adding was undone.  Loaded when first asked for.
import { t } from "../core/base/translate.js";
import * as queries from "../data/queries.js";
import { setVals } from "../ui/act_markup.js";
import { open } from "../ui/dialogs.js";
import { say } from "../ui/dom.js";

export const actions = {};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

/** Ask; the button of the sheet says the same acts. */
export function ask([first, ...others]) {
  const also = others.map(({ on, kind, act }) => ({ on, kind, act }));
  say("sure-words", t("{name}: out of the whole shop, on every phone?", { name: queries.birth(first.on)?.name ?? "" }));
  setVals(document.getElementById("sure-deed"), { on: first.on, kind: "undone", act: first.act, also, sure: true });
  open("dialog-sure", first.on);
}
