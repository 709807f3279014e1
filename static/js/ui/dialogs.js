// The sheets that ask one thing: which panel, which step, where back to.
import { CLASSES } from "../core/acts/schema.js";
import * as areas from "../core/fold/areas.js";
import { later, t, tn } from "../core/base/translate.js";
import { clamp } from "../core/base/units.js";
import * as views from "../data/views.js";
import { setAct, setVals } from "./act_markup.js";
import { say, show } from "./dom.js";

const DOES = {
  ...{ sand: later("Sand [[do it]]"), fill: later("Fill [[do it]]"), clean: later("Clean [[do it]]") },
  ...{ coat: later("Coat [[do it]]"), check: later("Check [[do it]]") },
};
const NEEDS = {
  ...{ nothing: later("nothing [[what a step waits for]]"), flash: later("flashed [[what a step waits for]]") },
  ...{
    sand: later("dry to sand [[what a step waits for]]"),
    handle: later("may be handled [[what a step waits for]]"),
  },
  cure: later("cured [[a gate]]"),
};
export const CLASS_WORDS = {
  ...{
    putty: later("Putty, filler"),
    sprayputty: later("Spray polyester"),
    epoxy: later("Epoxy primer"),
    etch: later("Etch primer"),
  },
  ...{
    surfacer: later("Surfacer"),
    sealer: later("Sealer"),
    base: later("Base, solvent"),
    waterbase: later("Base, waterborne"),
  },
  ...{ clear: later("Clear [[the last coat]]"), promoter: later("Adhesion promoter") },
  ...{ topcoat: later("Single-stage, 2K"), seam: later("Seam sealer") },
};
const node = (id) => document.getElementById(id);
const asks = {}; // what the open sheet is about

export const about = (id) => asks[id];

export function open(id, on) {
  asks[id] = on;
  for (const error of node(id).querySelectorAll(".error")) error.textContent = "";
  for (const when of node(id).querySelectorAll(".when")) resetWhen(when);
  node(id).showModal();
  node(id).scrollTo(0, 0);
}

/** It happened now, until another time is said for the next act. */
export function resetWhen(when) {
  const [now, ...others] = when.querySelectorAll("input");
  now.checked = true;
  others.at(-1).value = "";
}

export const close = (id) => node(id).close();

/** Areas that go on by themselves from the start. */
const AREAS = [later("outside [[of a panel]]"), later("underside [[of a panel]]"), later("edges [[of a panel]]")];

const BLANK = { does: "sand", cls: "", coats: 1, needs: "" };
const step = { ...BLANK };

export function openStep(on) {
  Object.assign(step, BLANK);
  node("step-words").value = node("step-area").value = "";
  offerAreas(on);
  paintStep();
  open("dialog-step", on);
}

/** The areas that the panel has, then those that are usual. */
function offerAreas(on) {
  const own = [...views.view(on).steps, ...views.view(on).films].map(({ area }) => area).filter(Boolean);
  const all = [...new Set([...own, ...AREAS.map((word) => t(word))])];
  buttons(
    "step-areas",
    all.map((word) => [areas.words(word), { do: "chip", field: "step-area", word }]),
  );
  node("step-area-box").open = own.length > 0;
}

/** What the buttons of the sheet say of the step: all but what the person wrote. */
function stepVals() {
  const lays = ["fill", "coat"].includes(step.does);
  const needs = waits() && step.needs ? { needs: step.needs } : {};
  const coats = step.does === "coat" ? step.coats : 1;
  return {
    step: { do: step.does, cls: lays ? step.cls : "", coats, ...needs },
    default_words: t((lays && CLASS_WORDS[step.cls]) || DOES[step.does]),
  };
}

const waits = () => ["clean", "check"].includes(step.does);

export function openRename(on) {
  node("rename-name").value = views.view(on).name;
  node("rename-job").value = views.view(on).job;
  open("dialog-rename", on);
}

/** A chip writes its word into the field it belongs to, after what is there; an area takes the place of another. */
export function chip({ field, word }) {
  const input = node(field);
  if (field === "step-area") input.value = word;
  else input.value = [input.value.trim(), word].filter(Boolean).join(", ");
}

export function pick({ does, cls, needs }) {
  if (does) step.does = does;
  if (cls !== undefined) step.cls = step.cls === cls ? "" : cls;
  if (needs) step.needs = step.needs === needs ? "" : needs;
  paintStep();
}

export function dial({ dial: which, by }) {
  if (which === "coats") step.coats = clamp(step.coats + Number(by), 1, 20);
  paintStep();
}

function paintStep() {
  const lays = ["fill", "coat"].includes(step.does);
  buttons(
    "step-does",
    Object.entries(DOES).map(([does, word]) => [t(word), { do: "pick", does }, "", does === step.does]),
  );
  buttons(
    "step-classes",
    CLASSES.map((cls) => [t(CLASS_WORDS[cls]), { do: "pick", cls }, "", cls === step.cls]),
  );
  buttons(
    "step-needs",
    Object.entries(NEEDS).map(([needs, word]) => [t(word), { do: "pick", needs }, "", needs === step.needs]),
  );
  show("step-needs-box", waits());
  show("step-classes-box", lays);
  show("step-coats-box", step.does === "coat");
  setVals(node("step-deeds"), stepVals());
  say("step-coats", tn("{n} coat", "{n} coats", step.coats));
}

/** Buttons in a box: [words, data, class, pressed]; one that is an act has it in its data. */
export function buttons(id, wanted) {
  const made = wanted.map(([words, { act, ...data }, look = "", pressed]) => {
    const button = document.createElement("button");
    button.type = "button";
    button.textContent = words;
    button.className = look;
    Object.assign(button.dataset, data);
    if (act) setAct(button, act);
    if (pressed !== undefined) button.setAttribute("aria-pressed", String(pressed));
    return button;
  });
  const focus = [...node(id).children].indexOf(document.activeElement);
  node(id).replaceChildren(...made);
  made[focus]?.focus();
}
