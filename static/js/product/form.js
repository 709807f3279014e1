// The form of a sheet on the screen: filled from texts, read back as texts, with what is wrong beside each field.
import { CLASSES, LINES, USES } from "../core/acts/schema.js";
import { ALWAYS_SANDED } from "../core/clock/clock_step.js";
import { CLASS_WORDS } from "../ui/dialogs.js";
import { GATE_NAMES, GATE_UNITS, HARDENER_WORDS, OWN, USE_WORDS } from "./fields.js";
import { later, t } from "../core/base/translate.js";
import { KINDS, unitIn } from "./parse.js";
import { copy, paint, say, show } from "../ui/dom.js";

const MORE = ["induction", "clear_air", "recoat_again"];
const MAIN = Object.keys(GATE_NAMES).filter((gate) => !MORE.includes(gate));
const node = (id) => document.getElementById(id);
const fields = [...node("sheet-form").querySelectorAll("[data-field]")];
const LISTS = { variants: "sheet-variant-row", coat_gates: "sheet-coat-row" };
let units = null;

export function fill(form, shopUnits) {
  units = shopUnits;
  if (!node("sheet-cls").length)
    node("sheet-cls").replaceChildren(...CLASSES.map((cls) => new Option(t(CLASS_WORDS[cls]), cls)));
  dressChoices(node("sheet-form"));
  node("sheet-uses").replaceChildren(...USES.map((use) => tick(use, form.uses?.includes(use))));
  for (const input of fields) write(input, form[input.dataset.field] ?? "");
  fillGates(node("sheet-gates"), MAIN, form.gates);
  fillGates(node("sheet-gates-more"), MORE, form.gates);
  for (const [list, template] of Object.entries(LISTS))
    node(`sheet-${list}`).replaceChildren(...form[list].map((one) => row(template, one)));
  for (const box of node("sheet-form").querySelectorAll("details")) box.open = false;
  node("sheet-cures").open = Boolean(form.cure_lowest_dc || form.cure_highest_dc);
  node("sheet-gates-more").closest("details").open = MORE.some((gate) => form.gates[gate]);
  dress();
}

export function read() {
  const form = Object.fromEntries(
    fields.map((input) => [
      input.dataset.field,
      input.type === "checkbox" ? (input.checked ? "yes" : "") : input.value,
    ]),
  );
  form.uses = [...node("sheet-uses").querySelectorAll("input:checked")].map((input) => input.value);
  form.gates = { ...gatesIn(node("sheet-gates")), ...gatesIn(node("sheet-gates-more")) };
  for (const list of Object.keys(LISTS)) {
    form[list] = [...node(`sheet-${list}`).children].map((box) => ({
      ...(list === "variants" ? { id: box.dataset.id } : {}),
      ...parts(box),
      gates: gatesIn(box.querySelector(".gates")),
    }));
  }
  return form;
}

/** One more variant or coat with times of its own. */
export function addRow(list, values) {
  const added = row(LISTS[list], values);
  node(`sheet-${list}`).append(added);
  dress();
  if (!added.querySelector("input").value) added.querySelector("input").focus();
}

/** After something was typed: a free line under the last one, the fields that fit the way of mixing. */
export function grow(target) {
  const box = target?.closest(".lines");
  if (box) freeLine(box);
  dress();
}

/** A field was left: a unit that was typed behind the time moves to the field beside, and to the free line below. */
export function settle(target) {
  const row = target.closest(".line");
  if (!row || target.dataset.part === "temp") return;
  const [time, select] = ["time", "unit"].map((part) => row.querySelector(`[data-part=${part}]`));
  const unit = unitIn(time.value);
  if ([...select.options].some((option) => option.value === unit)) {
    select.value = unit;
    time.value = time.value.replace(/^([^\p{L}]*\d)\s*\p{L}+\.?\s*$/u, "$1");
  }
  const next = row.nextElementSibling && parts(row.nextElementSibling);
  if (next && !(next.temp + next.time).trim())
    row.nextElementSibling.querySelector("[data-part=unit]").value = select.value;
}

/** What is wrong, beside the field it is about; what is only missing yet is said when the person wants to save. */
export function paintFaults(faults, all) {
  const faultWords = new Map(faults.filter((fault) => all || !fault.late).map(({ field, words }) => [field, words]));
  for (const place of node("sheet-form").querySelectorAll(".error")) {
    const words = faultWords.get(fieldOf(place)) ?? "";
    if (place.textContent !== words) place.textContent = words;
    const input = place.parentElement.querySelector(":scope > [data-field]");
    if (input) input.setAttribute("aria-invalid", String(Boolean(words)));
  }
}

/** Bring the first thing that is wrong before the eyes. */
export function showFirstFault() {
  const first = [...node("sheet-form").querySelectorAll(".error")].find(
    (place) => place.textContent && !place.closest("[hidden]"),
  );
  for (let box = first?.closest("details"); box; box = box.parentElement.closest("details")) box.open = true;
  first?.scrollIntoView({ block: "center" });
  const count = [...node("sheet-form").querySelectorAll(".error")].filter(
    (place) => place.textContent && place.id !== "sheet-fault" && !place.closest("[hidden]"),
  ).length;
  if (count)
    say(
      "sheet-fault",
      count === 1
        ? first.textContent
        : t("{count} things are not right yet. {first}", { count, first: first.textContent }),
    );
}

function write(input, text) {
  if (input.type === "checkbox") return void (input.checked = text === "yes");
  if (input.dataset.field === "sheet_date") input.type = "date";
  input.value = text;
  if (input.value === text || input.tagName !== "INPUT") return;
  input.type = "text"; // a date that no calendar has, brought in from elsewhere: shown, not dropped
  input.value = text;
}

function fillGates(box, names, gates) {
  box.replaceChildren(
    ...names.map((gate) => {
      const made = copy("sheet-gate");
      made.dataset.gate = gate;
      paint(made, { words: t(GATE_NAMES[gate]) });
      made.querySelector(".lines").replaceChildren(...(gates[gate] ?? []).map(line));
      freeLine(made.querySelector(".lines"));
      return made;
    }),
  );
}

function tick(use, checked) {
  const label = document.createElement("label");
  label.className = "tick";
  const box = Object.assign(document.createElement("input"), { type: "checkbox", value: use, checked });
  label.append(box, ` ${t(USE_WORDS[use])}`);
  return label;
}

/** The choices of uses and hardeners, in the tongue of the phone. */
function dressChoices(box) {
  const fillWith = (all) => (select) =>
    select.length || select.replaceChildren(...all.map(([value, words]) => new Option(t(words), value)));
  const any = [["", later("whatever the product is for")]];
  box.querySelectorAll("[data-uses]").forEach(fillWith([...any, ...USES.map((use) => [use, USE_WORDS[use]])]));
  box.querySelectorAll("[data-hardeners]").forEach(fillWith(Object.entries(HARDENER_WORDS)));
}

function row(template, values) {
  const made = copy(template);
  dressChoices(made);
  if (values.id) made.dataset.id = values.id;
  for (const input of made.querySelectorAll("[data-part]")) input.value = values[input.dataset.part] ?? "";
  fillGates(made.querySelector(".gates"), [...MAIN, ...MORE], values.gates);
  const has = {
    gates: Object.keys(values.gates).length,
    figures: [...OWN, "use", "hardener"].some((key) => values[key]),
  };
  for (const own of made.querySelectorAll("[data-own]")) own.open = Boolean(has[own.dataset.own]);
  return made;
}

function line(values) {
  const made = copy("sheet-line");
  for (const input of made.querySelectorAll("[data-part]")) input.value = values[input.dataset.part];
  return made;
}

/** A free line under the last one, in its unit, so that nobody has to ask for it. */
function freeLine(box) {
  const last = box.lastElementChild && parts(box.lastElementChild);
  const full = !last || (last.temp.trim() && last.time.trim());
  if (!full || box.children.length >= LINES.most) return;
  box.append(line({ temp: "", time: "", unit: last?.unit ?? GATE_UNITS[box.parentElement.dataset.gate] }));
}

const gatesIn = (box) =>
  Object.fromEntries(
    [...box.children].map((gate) => [gate.dataset.gate, linesIn(gate)]).filter(([, rows]) => rows.length),
  );

const linesIn = (gate) =>
  [...gate.querySelectorAll(".line")].map(parts).filter(({ temp, time }) => (temp + time).trim());

const parts = (box) =>
  Object.fromEntries(
    [...box.querySelectorAll("[data-part]")]
      .filter((input) => input.closest(".line, .choice") === box)
      .map((input) => [input.dataset.part, input.value]),
  );

/** What follows from what is typed, and the units of the shop on the labels. */
function dress() {
  const percent = node("sheet-ratio_by").value === "percent";
  show("sheet-percent-box", percent);
  show("sheet-parts-box", !percent);
  const inTheTin = node("sheet-solids_of").value === "tin";
  show("sheet-hardener-solids-box", inTheTin || Boolean(node("sheet-hardener_solids_pm").value.trim()));
  dressWindow(node("sheet-cls").value);
  const uses = node("sheet-uses").querySelectorAll("input:checked").length;
  say("sheet-uses-count", uses ? `(${uses})` : "");
  for (const list of Object.keys(LISTS)) {
    const { length } = node(`sheet-${list}`).children;
    say(list === "variants" ? "sheet-variants-count" : "sheet-coats-count", length ? `(${length})` : "");
  }
  for (const sign of node("screen-sheet").querySelectorAll("[data-unit]")) {
    const words = KINDS[sign.dataset.unit].sign(units);
    if (sign.textContent !== words) sign.textContent = words;
  }
}

/** The last moment to recoat, of a filler: not asked for, and where a sheet has one said to count for nothing. */
function dressWindow(cls) {
  const isSanded = ALWAYS_SANDED.includes(cls);
  const words = isSanded ? t("Last moment to recoat: not used, filler is always sanded") : t(GATE_NAMES.recoat_by);
  for (const gate of node("sheet-form").querySelectorAll("[data-gate=recoat_by]")) {
    gate.hidden = isSanded && !linesIn(gate).length;
    paint(gate, { words });
  }
}

/** The field that an error's place stands beside. */
function fieldOf(place) {
  if (place.dataset.fault !== undefined) return place.dataset.fault;
  const box = place.closest(".choice");
  const gate = place.closest(".gate")?.dataset.gate;
  if (!box) return `gates.${gate}`;
  if (gate) return "none";
  const list = Object.keys(LISTS).find((one) => box.parentElement.id === `sheet-${one}`);
  return `${list}.${[...box.parentElement.children].indexOf(box)}`;
}
