// The panel's page, the shelf and the book: painted whole from what the phone knows.
import { opensAt, closesAt, opening, closing, waitMs, TooCold } from "./core/cure.js";
import { lastRead, ASSUMED_DC } from "./core/air.js";
import { CLASSES } from "./core/doc.js";
import { current } from "./core/panel.js";
import { stepWords, strip } from "./core/face.js";
import { gateOf } from "./core/film.js";
import { decimal, later, t } from "./core/tongue.js";
import { clock, opens, shuts, span } from "./core/words.js";
import { UNITS } from "./core/house.js";
import * as said from "./said.js";
import * as shop from "./shop.js";
import * as signal from "./signal.js";
import { CLASS_WORDS, buttons } from "./dialogs.js";
import { faceOf } from "./floor.js";
import { degrees } from "./shown.js";
import { copy, paint, paintCard, paintList, paintStrip, say, set, show } from "./paint.js";

const BOOK_ROWS = 200;
const GATE_WORDS = {
  ...{ flash: later("next coat [[a gate: it may go on]]"), sand: later("sand [[a gate: it may be sanded]]"), handle: later("handle [[a gate: it may be touched]]") },
  ...{ cure: later("cured [[a gate]]"), recoat_by: later("recoat until [[a gate]]"), pot: later("cup lasts [[a gate: pot life]]") },
  ...{ induction: later("let stand [[a gate: after mixing]]"), clear_air: later("air clear [[a gate: after spraying]]") },
};
const SHUT_WORDS = { recoat_by: later("recoat until {wait}"), pot: later("cup lasts {wait}") };
const list = (id) => document.getElementById(id);
const UNIT_WORDS = { c: "°C", f: "°F", ml: "ml", floz: "fl oz", g: "g", oz: "oz", um: "µm", mil: "mil", 24: "24 h", 12: "12 h" };
let unitsShown = "";
let page = null;
let grit = null; // the ladder of papers, loaded with the first panel's page

export function paintPanel(on, now, zone) {
  const birth = on && shop.birth(on);
  const state = birth && shop.view(on);
  const isThere = Boolean(state) && state.added_at !== null;
  set(list("screen-panel"), "there", isThere ? "yes" : "no");
  paintList(list("panel-gone"), "act-row", birth && !isThere ? goneRows([birth], now, zone) : [], paintAct);
  if (!isThere) return say("panel-name", birth ? state.name || birth.name : t("This panel is not on this phone"));
  if (!grit) import("./core/grit.js").then((rules) => (grit = rules));
  say("panel-name", state.name);
  say("panel-job", state.job);
  if (page?.dataset.on !== on) list("panel-card").replaceChildren((page = copy("card")));
  page.dataset.on = on;
  paintCard(page, faceOf(on, now, zone));
  show("panel-take", !state.taken || state.taken.by !== shop.meta.phone);
  show("panel-let-go", Boolean(state.taken));
  say("panel-surface", surfaceWords(state, now, zone));
  const films = [...state.films].reverse();
  show("films-empty", !films.length);
  paintList(list("films"), "film-row", films.map((film) => filmRow(on, film, now, zone)), paintFilm);
  paintList(list("steps"), "step-row", stepRows(state, now, zone), paintStep);
  paintList(list("acts"), "act-row", said.rows(shop.actsOf(on), now, zone), paintAct);
}

/** Panels that were taken out, each by the act that it began with, to be put back. */
const goneRows = (births, now, zone) => said.rows(births, now, zone).map((row) => ({ ...row, mark: t("taken out"), out: true, deed: t("Put back [[do it]]") }));

/** What is said of the panel's own temperature. */
function surfaceWords({ surfaces = [] }, now, zone) {
  const last = surfaces.findLast(([from, until]) => from <= now && (until === null || until > now));
  if (!last) return t("Panel as warm as the air. Lamp, cold metal?");
  const temp = degrees(last[2]);
  return last[1] === null ? t("Panel at {temp}", { temp }) : t("Panel at {temp} until {time}", { temp, time: shuts(last[1], now, zone) });
}

export function paintShelf(now) {
  const read = lastRead(shop.airState(), now);
  const temp = read ? read[1] : ASSUMED_DC;
  const rows = shop.docs("product").map((one) => productRow(one, temp));
  paintList(list("products"), "product-row", rows.filter((row) => !row.away), paintProduct);
  paintList(list("products-away"), "product-row", rows.filter((row) => row.away), paintProduct);
  show("products-away-empty", !rows.some((row) => row.away));
  if (!list("shelf-classes").childElementCount) buttons("shelf-classes", CLASSES.map((cls) => [t(CLASS_WORDS[cls]), { do: "sheet-new", cls }]));
}

export function paintBook(now, zone) {
  say("book-signal", signal.words());
  show("take-out", shop.onlyHere().length > 0);
  const refused = shop.refused().map((row) => ({ key: row.act.id, when: clock(row.act.at, now, zone), words: said.words(row.act), why: row.why }));
  paintList(list("waiting"), "refused-row", refused);
  const away = shop.putAway().map((on) => ({ key: on, words: shop.view(on).name }));
  paintList(list("away"), "away-row", away);
  const gone = shop.takenOut();
  paintList(list("gone"), "act-row", goneRows(gone, now, zone), paintAct);
  show("away-empty", !away.length && !gone.length);
  paintUnits();
  const { person = "", name = "" } = shop.phones()[shop.meta.phone] ?? {};
  say("own-name", [person, name].filter(Boolean).join(", ") || t("This phone has no name yet."));
  const acts = shop.bookActs(BOOK_ROWS);
  paintList(list("book"), "act-row", said.rows(acts, now, zone, true), paintAct);
  show("book-empty", !acts.length);
}

/** The units of the shop, one row of buttons; painted again only when they change. */
function paintUnits() {
  const chosen = shop.units();
  if (unitsShown === JSON.stringify(chosen)) return;
  unitsShown = JSON.stringify(chosen);
  const rows = Object.entries(UNITS).flatMap(([what, choices]) => choices.map((unit) => [UNIT_WORDS[unit], { do: "unit", what, unit }, "", chosen[what] === unit]));
  buttons("units", rows);
}

function filmRow(on, film, now, zone) {
  const gates = Object.keys(film.sheet.gates).filter((gate) => ["flash", "sand", "handle", "cure", "recoat_by"].includes(gate));
  const need = film.sheet.gates.flash ? "flash" : "sand";
  const gate = gateOf(film, need, shop.felt(on));
  const times = { gate: gate ? need : "", laid_at: film.laid_at, opens_at: gate?.opens_at ?? null, shuts_at: gate?.shuts_at ?? null };
  return {
    key: film.id,
    title: `${film.sheet.name}, ${said.coat(film)}`,
    laid: [laidWords(on, film, now, zone), film.sheet.variant, film.sanded.length && t("sanded")].filter(Boolean).join(", "),
    strip: strip("", times, now, zone),
    clocks: gates.map((one) => gateWords(on, film, one, now, zone)).join(" · "),
    note: film.sheet.typical ? t("typical, check your sheet") : "",
  };
}

/** A film has the number of the act that laid it. */
function laidWords(on, { id, laid_at: laid, who }, now, zone) {
  const time = shuts(laid, now, zone);
  const teller = shop.toldBy(on, id);
  if (who && teller) return t("laid {time} by {who}, told by {teller}", { time, who: shop.called(who), teller: shop.called(teller) });
  return who ? t("laid {time} by {who}", { time, who: shop.called(who) }) : t("laid {time}", { time });
}

function gateWords(on, film, gate, now, zone) {
  if (gate === "recoat_by") return t("recoat until {time}", { time: shuts(closesAt(closing(film.sheet, gate), film.laid_at, shop.felt(on)), now, zone) });
  const at = opensAt(opening(film.sheet, gate), film.laid_at, shop.felt(on));
  const named = { gate: t(GATE_WORDS[gate]) };
  return at === null ? t("{gate}: stands still, too cold", named) : t("{gate} from {time}", { ...named, time: opens(at, now, zone) });
}

function paintFilm(row, value) {
  paint(row, value);
  paintStrip(row, value.strip);
}

/** What the grit ladder says of a sanding step against the one before it, where no film lies between. */
function gritWords(steps, at) {
  const before = steps.slice(0, at).findLast((one) => one.grit || ["fill", "coat"].includes(one.do));
  if (!grit || !steps[at].grit || !before?.grit) return "";
  const [rung] = grit.ladder([before.grit, steps[at].grit]);
  return rung.ok ? "" : rung.words;
}

function stepRows(state, now, zone) {
  const next = current(state);
  return state.steps.map((step, at) => ({
    grit: gritWords(state.steps, at),
    key: step.id,
    words: stepWords(step),
    told: step.done_at === null ? (step === next ? t("next [[the step that is due]]") : "") : t("done {time}", { time: shuts(step.done_at, now, zone) }),
    done: step.done_at === null ? (step === next ? "next" : "no") : "yes",
  }));
}

function paintStep(row, value) {
  paint(row, value);
  set(row, "done", value.done);
  row.querySelector(".small").hidden = value.done === "yes";
  row.querySelector("[data-do=step-here]").hidden = value.done !== "no";
}

function paintAct(row, value) {
  paint(row, value);
  set(row, "on", value.on);
  set(row, "out", value.out ? "yes" : "no");
  row.querySelector("button").hidden = !value.deed;
}

function productRow({ on, doc, rivals, away_at: away }, temp) {
  return {
    key: on,
    name: doc.name,
    about: [[limitWords(doc), doc.ratio && ratioWords(doc.ratio)].filter(Boolean).join(", "), doc.typical && t("Typical, check your sheet")].filter(Boolean).join(". "),
    times: t("At {temp}: {waits}", { temp: degrees(temp), waits: Object.keys(doc.gates).map((gate) => waitWords(doc, gate, temp)).join(", ") }),
    away: away !== null,
    rival: rivals.length ? t("Two phones changed this sheet at once. Open it and keep one.") : "",
    deed: away === null ? t("Put away [[do it, with a product]]") : t("Bring back [[do it, with a product]]"),
  };
}

function limitWords({ lowest_dc: lowest, highest_dc: highest }) {
  const [low, high] = [lowest, highest].map((dc) => (dc == null ? "" : degrees(dc)));
  if (low && high) return t("from {low} to {high}", { low, high });
  return low ? t("from {low} [[no warmest]]", { low }) : high && t("to {high} [[no coldest]]", { high });
}

function ratioWords({ parts, by }) {
  const ratio = parts.map((part) => decimal(String(part))).join(":");
  return by === "weight" ? t("{ratio} by weight", { ratio }) : t("{ratio} by volume", { ratio });
}

function paintProduct(row, value) {
  paint(row, value);
  for (const link of row.querySelectorAll("[data-sheet]")) link.hash = `#sheet=${link.dataset.sheet}${value.key}`;
}

function waitWords(doc, gate, temp) {
  const shut = gate in SHUT_WORDS;
  try {
    const wait = span(waitMs((shut ? closing : opening)(doc, gate), temp));
    return shut ? t(SHUT_WORDS[gate], { wait }) : t("{gate} after {wait}", { gate: t(GATE_WORDS[gate]), wait });
  } catch (why) {
    if (why instanceof TooCold) return t("{gate}: too cold", { gate: t(GATE_WORDS[gate]) });
    throw why;
  }
}
