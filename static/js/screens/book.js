// The book: what was done, what was refused, what was put away; the shop's units and this phone's name.
import { t } from "../core/base/translate.js";
import { clock } from "../core/base/words.js";
import { UNITS } from "../core/fold/shop_state.js";
import * as describe from "../ui/describe.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import * as signal from "./signal.js";
import { buttons } from "../ui/dialogs.js";
import { paintList, say, show } from "../ui/dom.js";
import { goneRows, paintAct } from "./panel.js";

const list = (id) => document.getElementById(id);
const BOOK_ROWS = 200;
const UNIT_WORDS = {
  c: "°C",
  f: "°F",
  ml: "ml",
  floz: "fl oz",
  g: "g",
  oz: "oz",
  um: "µm",
  mil: "mil",
  24: "24 h",
  12: "12 h",
};
let unitsShown = "";
export function paintBook(now, zone) {
  say("book-signal", signal.words());
  show("take-out", shop.onlyHere().length > 0);
  const refused = shop.refused().map((row) => ({
    key: row.act.id,
    when: clock(row.act.at, now, zone),
    words: describe.words(row.act),
    why: row.why,
  }));
  paintList(list("waiting"), "refused-row", refused);
  const away = queries.putAway().map((on) => ({ key: on, vals: { on }, words: views.view(on).name }));
  paintList(list("away"), "away-row", away);
  const gone = queries.takenOut();
  paintList(list("gone"), "act-row", goneRows(gone, now, zone), paintAct);
  show("away-empty", !away.length && !gone.length);
  paintUnits();
  const { person = "", name = "" } = queries.phones()[shop.meta.phone] ?? {};
  say("own-name", [person, name].filter(Boolean).join(", ") || t("This phone has no name yet."));
  const acts = queries.bookActs(BOOK_ROWS);
  paintList(list("book"), "act-row", describe.rows(acts, now, zone, true), paintAct);
  show("book-empty", !acts.length);
}

const unitAct = (what, unit) => ({ what, unit, act: { kind: "units_chosen", on: "shop", units: { [what]: unit } } });

/** The units of the shop, one row of buttons; painted again only when they change. */
function paintUnits() {
  const chosen = queries.units();
  if (unitsShown === JSON.stringify(chosen)) return;
  unitsShown = JSON.stringify(chosen);
  const rows = Object.entries(UNITS).flatMap(([what, choices]) =>
    choices.map((unit) => [UNIT_WORDS[unit], unitAct(what, unit), "", chosen[what] === unit]),
  );
  buttons("units", rows);
}
