// What others did while this phone heard nothing: one list on top of the floor, until the person closes it.
import { ANSWERS } from "../core/card/catch_up.js";
import { later, t, tn } from "../core/base/translate.js";
import { pair } from "../core/fold/duplicates.js";
import { paintList, paint as paintRow, say, show } from "../ui/dom.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";

const MOST = 8; // lines shown; the rest is counted
const LONGEST = 40; // signs of a name
const ONE = {
  twice: later("{name}: a second coat. Once or twice?"),
  rivals: later("{name}: two phones wrote its sheet. Keep one."),
  name_lost: later("{name}: this phone had called it “{yours}”. Another phone's name stands."),
  gone: later("{name}: taken out of the shop. The Book can put it back."),
  put_away: later("{name}: put away."),
  brought_back: later("{name}: brought back."),
  added: later("{name}: added."),
  renamed: later("{name}: its new name. It was “{yours}”."),
};
const SOME = {
  ready_void: (n, values) =>
    tn(
      "{name}: {n} coat that this phone found ready was taken out.",
      "{name}: {n} coats that this phone found ready were taken out.",
      n,
      values,
    ),
  film_out: (n, values) => tn("{name}: {n} coat taken out.", "{name}: {n} coats taken out.", n, values),
  laid: (n, values) => tn("{name}: {n} coat laid.", "{name}: {n} coats laid.", n, values),
  corrected: (n, values) => tn("{name}: {n} entry corrected.", "{name}: {n} entries corrected.", n, values),
  done: (n, values) => tn("{name}: {n} step done.", "{name}: {n} steps done.", n, values),
};
const FIRST = [...ANSWERS, "ready_void", "name_lost", "gone", "put_away", "film_out"]; // then the rest
export const actions = { "meanwhile-close": () => shop.note({ meanwhile: [] }).then(paint) };

/** The list, or nothing. */
export function paint() {
  const all = (shop.meta.meanwhile ?? []).filter(isOpen).sort((one, two) => rank(one) - rank(two));
  show("meanwhile", all.length > 0);
  if (!all.length) return;
  const waits = all.filter(asks).length;
  const things = tn("While you were away: {n} thing", "While you were away: {n} things", all.length);
  say("meanwhile-title", waits ? t("{things}, {n} to answer", { things, n: waits }) : things);
  paintList(document.getElementById("meanwhile-lines"), "meanwhile-line", all.slice(0, MOST).map(rowOf), paintLine);
  say("meanwhile-more", all.length > MOST ? t("and {n} more [[things that changed]]", { n: all.length - MOST }) : "");
}

const asks = ({ kind }) => ANSWERS.includes(kind);

const rank = ({ kind }) => (FIRST.indexOf(kind) + FIRST.length + 1) % (FIRST.length + 1);

/** A question that somebody answered since is none any more. */
function isOpen({ on, kind }) {
  if (kind === "twice") return pair(views.view(on)).length > 0;
  return kind !== "rivals" || views.view(on).rivals.length > 0;
}

function rowOf({ on, kind, n, ...values }) {
  const name = short(views.view(on).name || views.view(on).doc?.name || values.name);
  const hash = { gone: "#book", rivals: `#sheet=${on}` }[kind] ?? `#panel=${on}`;
  return {
    key: `${kind} ${on}`,
    hash,
    words: ONE[kind] ? t(ONE[kind], { ...values, yours: short(values.yours ?? ""), name }) : SOME[kind](n, { name }),
  };
}

/** What was done stands behind the name: a long one leaves it room. */
const short = (name) => ([...name].length > LONGEST ? `${[...name].slice(0, LONGEST - 1).join("")}…` : name);

function paintLine(row, value) {
  paintRow(row, value);
  row.querySelector("a").hash = value.hash;
}
