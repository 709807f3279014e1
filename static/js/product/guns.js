// The guns of a product: set-ups that worked in this shop, written down, changed, dropped.
import { gunCaution } from "../core/bench/gun.js";
import { record } from "../ui/record.js";
import { decimal, t } from "../core/base/translate.js";
import { whole } from "../core/base/units.js";
import * as acts from "../data/acts.js";
import * as views from "../data/views.js";
import { paintList, say, show } from "../ui/dom.js";
import { pressureUnit } from "../ui/units.js";
import { signed } from "./parse.js";

const KPA = { bar: 100, psi: 6.894757, kpa: 1 }; // 1 psi = 6.894757 kPa: NIST SP 811
const PRESS_WORDS = { bar: "bar", psi: "psi", kpa: "kPa" };
const node = (id) => document.getElementById(id);
const box = node("gun-box");
const inputs = [...box.querySelectorAll("[data-gun]")];
let about = "";

export const actions = {
  "sheet-gun-keep": async () => {
    let act;
    try {
      act = acts.gunSet(about, fieldsOf(read()));
    } catch (why) {
      return say("gun-fault", why.message);
    }
    await record(act);
    localStorage.removeItem(draftKey());
    return fill({});
  },
  "sheet-gun-change": ({ key }) => {
    fill(textsOf(key, views.view(about).guns[key]));
    box.open = true;
    node("gun-name").focus();
  },
};

box.addEventListener("input", () => {
  say("gun-fault", "");
  localStorage.setItem(draftKey(), JSON.stringify(read()));
});

export function paint(on) {
  const { guns } = views.view(on);
  if (about !== on) {
    about = on;
    const draft = localStorage.getItem(draftKey());
    fill(draft ? JSON.parse(draft) : {});
    box.open = Boolean(draft);
  }
  show("guns-empty", !Object.keys(guns).length);
  paintList(
    node("guns"),
    "gun-row",
    Object.entries(guns).map(([gun, set]) => ({
      key: gun,
      gun,
      vals: { on, gun },
      words: setWords(set),
      caution: gunCaution(set, press()),
    })),
  );
}

const draftKey = () => `sheet-gun-draft:${about}`;
const read = () => Object.fromEntries(inputs.map((input) => [input.dataset.gun, input.value]));
const press = pressureUnit;

function fill(texts) {
  for (const input of inputs) input.value = texts[input.dataset.gun] ?? (input.dataset.gun === "press" ? press() : "");
  say("gun-fault", "");
}

function fieldsOf({ gun, pressure, press: unit, tip, turns, distance, fan }) {
  const fields = { gun: gun.trim(), fan: fan.trim() || undefined };
  const put = (key, what, text, factors) => text.trim() && (fields[key] = whole(signed(what, text, factors)));
  put("pressure_kpa", t("The pressure"), pressure, { "": KPA[unit], ...KPA });
  put("tip_um", t("The tip [[of a spray gun]]"), tip, { "": 1000, mm: 1000 });
  put("turns_tenths", t("The turns of the fluid knob"), turns, { "": 10, turns: 10, vueltas: 10, umdrehungen: 10 });
  put("distance_mm", t("The distance [[from gun to panel]]"), distance, { "": 1, mm: 1, cm: 10, in: 25.4 });
  return JSON.parse(JSON.stringify(fields));
}

function textsOf(gun, { pressure_kpa: kpa, tip_um: tip, turns_tenths: turns, distance_mm: distance, fan = "" }) {
  const text = (value, by) => (value === undefined ? "" : decimal(String(Math.round((value / by) * 100) / 100)));
  return {
    gun,
    fan,
    press: press(),
    pressure: text(kpa, KPA[press()]),
    tip: text(tip, 1000),
    turns: text(turns, 10),
    distance: text(distance, 1),
  };
}

function setWords(set) {
  const { pressure, press: unit, tip, turns, distance, fan } = textsOf("", set);
  const all = [
    [pressure, `${pressure} ${PRESS_WORDS[unit]}`],
    [tip, t("tip {tip} mm [[of a spray gun]]", { tip })],
    [turns, t("{turns} turns [[of the fluid knob]]", { turns })],
    [fan, t("fan {fan} [[of a spray gun: how wide]]", { fan })],
    [distance, t("{distance} mm away [[from the panel]]", { distance })],
  ];
  return (
    all
      .filter(([figure]) => figure)
      .map(([, words]) => words)
      .join(", ") || t("Nothing more was said of it.")
  );
}
