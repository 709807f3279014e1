// The sheet that asks what is left in a cup.
import { CAUTION, amount } from "../core/card/cup.js";
import { later, t } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import { setVals } from "../ui/act_markup.js";
import { buttons, open } from "../ui/dialogs.js";
import { say } from "../ui/dom.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";

const SHARES = [
  [later("Nothing [[left in the cup]]"), 0],
  [later("A little [[left in the cup]]"), 0.1],
  [later("A quarter [[left in the cup]]"), 0.25],
  [later("Half [[left in the cup]]"), 0.5],
];
const STEP = { volume: 10, weight: 10 }; // 10 ml, 1 g
const asked = { by: "volume", total: 0, left: 0 };

/** Ask; a share answers in one more tap. */
export function openEmptying(on) {
  const { by, amounts, sheet } = views.view(on);
  const total = amounts.reduce((sum, much) => sum + much, 0);
  Object.assign(asked, { by, total, left: Math.round(total / 10) });
  const words = (share) => (share ? `: ${amount(by, Math.round(total * share), queries.units())}` : "");
  buttons(
    "cup-shares",
    SHARES.map(([word, share]) => [
      `${t(word)}${words(share)}`,
      { do: "cup-emptied", act: { kind: "cup_emptied", left: Math.round(total * share) } },
    ]),
  );
  say("cup-name", `${sheet.name}, ${amount(by, total, queries.units())}`);
  say("cup-caution", t(CAUTION));
  paintLeft();
  open("dialog-cup", on);
}

export function dial({ by }) {
  asked.left = clamp(asked.left + by * STEP[asked.by], 0, asked.total);
  paintLeft();
}

function paintLeft() {
  say("cup-left", amount(asked.by, asked.left, queries.units()));
  setVals(document.getElementById("cup-this"), { kind: "cup_emptied", left: asked.left });
}
