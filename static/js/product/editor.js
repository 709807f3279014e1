// The sheet of a product, typed in from its data sheet: opened, kept as a draft while typed, checked, saved.
import { record } from "../ui/record.js";
import { ASSUMED_DC, lastRead } from "../core/clock/air.js";
import { laidSheet } from "../core/fold/shelf.js";
import { t } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import * as acts from "../data/acts.js";
import * as guns from "./guns.js";
import * as formPage from "./form.js";
import * as conflicts from "./conflicts.js";
import * as router from "../ui/router.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { CLASS_WORDS } from "../ui/dialogs.js";
import { setVals } from "../ui/act_markup.js";
import { curveWords, draw } from "./chart.js";
import { dcToF, fToDc } from "../core/base/measures.js";
import { docOf, formOf } from "./form_values.js";
import { GATE_NAMES } from "./fields.js";
import { paint as paintWords, paintList, say, show } from "../ui/dom.js";
import { tempWords } from "./parse.js";

const CALM_MS = 300; // words of what is wrong come when the typing rests, so that they do not jump about
const node = (id) => document.getElementById(id);
const form = node("sheet-form");
const curve = { gate: "", with: "", dc: null };
let open = null; // {about, on, over, base, units, form, typed}
let asked = false; // the person wanted to save: what is missing is said too
let thrown = null;
let calm = 0;

export const actions = {
  "sheet-new": ({ cls }) => router.go(`#sheet=new:${cls}`),
  "sheet-save": () => save(),
  "sheet-throw": () => {
    thrown = open;
    forget(open.about);
    open = null;
  },
  "sheet-unthrow": () => {
    keepDraft(thrown);
    open = thrown = null;
  },
  "sheet-variant": ({ word }) => added("variants", { id: acts.freshId(), name: word, gates: {} }),
  "sheet-coat": () => added("coat_gates", { coat: "2", gates: {} }),
  "sheet-gate": ({ key }) => check((curve.gate = key)),
  "sheet-dial": ({ by }) => check((curve.dc = turned(Number(by)))),
  "sheet-drop": () => {}, // only typing: see the listener below
  "sheet-keep": ({ key }) => conflicts.keep(open.on, key),
  ...guns.actions,
};

form.addEventListener("input", ({ target }) => {
  checkSoon();
  if (target.id !== "sheet-with") typed(target);
});

form.addEventListener("change", ({ target }) => {
  if (target.id === "sheet-with") curve.with = target.value;
  else formPage.settle(target);
  if (target.id === "sheet-cls" && !/\S/.test(open.form.ratio + open.form.hardener)) suitRatio(target.value);
  if (target.id !== "sheet-with") typed(target);
  checkSoon(); // not at once: a field is left by a tap on a button, which must not move away under the finger
});

/** Dropping a row is no act of the shop, only typing. */
form.addEventListener("click", ({ target }) => {
  if (target.dataset.do !== "sheet-drop") return;
  target.closest(".choice").remove();
  typed(null);
  check();
});

export function paint(now, zone, about) {
  const moved = open && !open.typed && views.view(open.on).head !== open.head;
  if (open?.about !== about || moved) begin(about, now);
  show("sheet-form", Boolean(open));
  const saved = Boolean(open && views.view(open.on).doc);
  show("sheet-product", saved);
  say("sheet-lost", open ? "" : t("This product is not on this phone. Open the Shelf."));
  if (!open) return;
  const state = views.view(open.on);
  show("sheet-draft-box", open.typed);
  show("sheet-unthrow", thrown?.about === about && !open.typed);
  say(
    "sheet-moved",
    open.typed && state.head !== open.head
      ? t("Another phone changed this sheet while you typed. Save yours: both are kept, and you choose.")
      : "",
  );
  conflicts.paint(open.on, open.units, now, zone);
  if (saved) guns.paint(open.on);
  setVals(node("sheet-away"), { on: open.on, kind: state.away_at === null ? "sheet_put_away" : "sheet_brought_back" });
  say(
    "sheet-away",
    state.away_at === null ? t("Put away [[do it, with a product]]") : t("Bring back [[do it, with a product]]"),
  );
  node("sheet-copy").hash = `#sheet=copy:${open.on}`;
}

function begin(about, now) {
  open = draftOf(about) ?? started(about);
  asked = false;
  if (!open) return;
  say("sheet-title", open.form.name || t("New sheet: {what}", { what: t(CLASS_WORDS[open.form.cls]) }));
  curve.dc ??= Math.round((lastRead(views.airState(), now)?.[1] ?? ASSUMED_DC) / 10) * 10;
  curve.with = "";
  formPage.fill(open.form, open.units);
  show("sheet-own-box", Boolean(open.base.typical));
  check();
}

/** What the editor starts from.  What the sheet is written over is taken now, so that a change in the meantime on
 *  another phone becomes a rival and is not lost. */
function started(about) {
  const [how, ...rest] = about.split(":");
  const units = queries.units();
  const fresh = { about, units, typed: false, over: [], head: "" };
  if (how === "new" && rest[0] in CLASS_WORDS)
    return { ...fresh, on: acts.thingId("product"), base: {}, form: formOf({ cls: rest[0] }, units) };
  const from = how === "copy" ? rest.join(":") : about;
  if (!from.startsWith("product:") || !views.view(from).doc) return null;
  const { doc, head, rivals: others } = views.view(from);
  const { id, ...base } = doc;
  if (how === "copy")
    return {
      ...fresh,
      on: acts.thingId("product"),
      base,
      form: formOf({ ...base, name: t("Copy of {name}", { name: doc.name }).slice(0, 200) }, units),
    };
  return { ...fresh, on: from, head, over: [head, ...others.map((one) => one.id)], base, form: formOf(base, units) };
}

async function save() {
  asked = true;
  const { doc, faults } = check();
  if (faults.length) return formPage.showFirstFault();
  const { about, on, over } = open;
  try {
    await record(acts.sheetWritten(on, { ...doc, id: on.slice("product:".length) }, over));
  } catch (why) {
    return say("sheet-fault", why.message);
  }
  forget(about);
  open = thrown = null;
  return router.go(views.view(on).rivals.length ? `#sheet=${on}` : "#shelf");
}

function checkSoon() {
  clearTimeout(calm);
  calm = setTimeout(check, CALM_MS);
}

/** Read what is typed, say what is wrong, draw what the clock makes of it. */
function check() {
  clearTimeout(calm);
  open.form = formPage.read();
  const read = docOf(open.form, open.base, open.units);
  formPage.paintFaults(read.faults, asked);
  paintCurve(read.doc);
  return read;
}

function typed(target) {
  formPage.grow(target);
  curve.gate = target?.closest(".gate")?.dataset.gate ?? curve.gate; // the curve shows the time that is being typed
  open.form = formPage.read();
  open.typed = true;
  keepDraft(open);
  show("sheet-draft-box", true);
}

function added(list, values) {
  formPage.addRow(list, values);
  typed(null);
  check();
}

/** A putty is mixed by per cent of hardener, the rest by parts, unless a ratio stands there. */
function suitRatio(cls) {
  node("sheet-ratio_by").value = formOf({ cls }, open.units).ratio_by;
}

function paintCurve(doc) {
  const named = [
    ["", t("the common times [[of a sheet]]")],
    ...(doc.variants ?? []).map((one) => [`v${one.id}`, one.name]),
    ...(doc.coat_gates ?? []).map((one) => [`c${one.coat}`, t("coat {coat}", { coat: one.coat })]),
  ];
  if (!named.some(([key]) => key === curve.with)) curve.with = "";
  const shown = [...node("sheet-with").options].map((option) => [option.value, option.textContent]);
  if (JSON.stringify(shown) !== JSON.stringify(named))
    node("sheet-with").replaceChildren(...named.map(([key, words]) => new Option(words, key)));
  node("sheet-with").value = curve.with;
  show("sheet-with-box", named.length > 1);
  const coat = curve.with.startsWith("c") ? Number(curve.with.slice(1)) : 1;
  const sheet = laidSheet(doc, curve.with.slice(1), coat);
  const gates = Object.keys(GATE_NAMES).filter((gate) => sheet.gates[gate]);
  const gate = gates.includes(curve.gate) ? curve.gate : (gates.find((one) => one !== "pot") ?? gates[0] ?? "");
  paintGates(gates, gate);
  draw(node("sheet-curve"), sheet, gate, curve.dc, open.units);
  say("sheet-curve-temp", tempWords(curve.dc, open.units.temp));
  say(
    "sheet-curve-words",
    gate ? curveWords(sheet, gate, curve.dc, open.units) : t("The curve comes with the first line above."),
  );
}

function paintGates(gates, shown) {
  paintList(
    node("sheet-curve-gates"),
    "sheet-curve-gate",
    gates.map((gate) => ({ key: gate, words: t(GATE_NAMES[gate]), shown: gate === shown })),
    paintGate,
  );
}

function paintGate(button, value) {
  paintWords(button, value);
  button.setAttribute("aria-pressed", String(value.shown));
}

/** One degree of the shop's unit further. */
function turned(by) {
  const dc = open.units.temp === "f" ? fToDc(Math.round(dcToF(curve.dc)) + by) : curve.dc + by * 10;
  return clamp(dc, -100, 800);
}

const draftKey = (about) => `sheet-draft:${about}`;

function draftOf(about) {
  try {
    return JSON.parse(localStorage.getItem(draftKey(about)));
  } catch {
    return null;
  }
}

/** A phone whose memory is full keeps what is typed on the screen at least. */
function keepDraft(draft) {
  try {
    localStorage.setItem(draftKey(draft.about), JSON.stringify({ ...draft, typed: true }));
  } catch {
    say("sheet-moved", t("This phone cannot keep what you type until it is saved: its memory is full."));
  }
}

const forget = (about) => localStorage.removeItem(draftKey(about));
