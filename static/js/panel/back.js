// A spot sent back: what is wrong with it, how far back it goes for that, what is put in, and why.  Loaded late.
import * as areas from "../core/fold/areas.js";
import { given } from "../core/fold/given.js";
import { FAULTS, rework, sandedFirst } from "../core/fold/rework.js";
import { later, t } from "../core/base/translate.js";
import * as acts from "../data/acts.js";
import * as views from "../data/views.js";
import { buttons, open } from "../ui/dialogs.js";
import { say, show } from "../ui/dom.js";

const WHERES = [
  later("upper edge"),
  later("lower edge"),
  later("left [[side]]"),
  later("right [[side]]"),
  later("middle"),
];
const node = (id) => document.getElementById(id);
const asked = { on: "", fault: "", lanes: [] };

export const actions = {
  back: ({ lane }, { on }) => openBack(on, lane),
  "back-fault": ({ fault }) => pick(fault),
};

/** Nothing of it stands on a screen of its own. */
export const paint = () => {};

/** Of the lane whose button was tapped, else of each that stands open. */
function openBack(on, lane = {}) {
  Object.assign(asked, { on, fault: "", lanes: lane.lane === undefined ? views.openLanes(on) : [lane] });
  node("back-area").value = "";
  buttons(
    "back-wheres",
    WHERES.map((word) => [t(word), { do: "chip", field: "back-area", word: t(word) }]),
  );
  const isAny = paintFaults();
  open("dialog-back", on);
  say("back-error", isAny ? "" : t("No step is behind this one yet."));
}

/** A fault tapped again is taken back; its word stands in the field in place of the one before. */
function pick(fault) {
  const [was, is] = [asked.fault, fault === asked.fault ? "" : fault];
  const rest = node("back-area")
    .value.split(", ")
    .filter((word) => word && !(was && word === wordOf(was)));
  node("back-area").value = [...(is ? [wordOf(is)] : []), ...rest].join(", ");
  asked.fault = is;
  paintFaults();
}

const wordOf = (fault) => t(FAULTS[fault][2]);

/** Whether there is a step to go back to. */
function paintFaults() {
  const { on, fault, lanes } = asked;
  buttons(
    "back-whys",
    Object.keys(FAULTS).map((one) => [wordOf(one), { do: "back-fault", fault: one }, "", one === fault]),
  );
  const plans = fault ? lanes.map((vals) => planOf(on, fault, vals)).filter(({ step }) => step) : [];
  say("back-why", fault ? t(FAULTS[fault][3]) : "");
  say("back-put", plans.length ? t("Puts in: {steps}", { steps: putWords(on, fault, plans[0]) }) : "");
  for (const id of ["back-why", "back-put"]) show(id, node(id).textContent !== "");
  buttons(
    "back-plan",
    plans.map(({ step, vals }) => [
      t("Back to {step}", { step: wordsOf(step, vals) }),
      { do: "send-back", act: { kind: "sent_back", step: step.id, fault, ...vals } },
      "deed",
    ]),
  );
  const others = lanes.flatMap((vals) => behind(on, vals).map((step) => ({ step, vals })));
  buttons(
    "back-steps",
    others
      .filter(({ step }) => plans.every((plan) => plan.step.id !== step.id))
      .map(({ step, vals }) => [
        wordsOf(step, vals),
        { do: "send-back", act: { kind: "sent_back", step: step.id, ...vals } },
      ]),
  );
  return others.length > 0;
}

const laneAt = ({ lane, lane_step: step }) => ({ lane, step });

/** The steps behind the one that a lane stands at, the nearest first. */
const behind = (on, vals) => stepsBehind(on, laneAt(vals)).passed.reverse();

function planOf(on, fault, vals) {
  const { step, passed } = stepsBehind(on, laneAt(vals));
  const steps = [...passed, ...(step ? [step] : [])];
  const { step: back } = rework(steps, fault);
  return { step: steps.find((one) => one.id === back), vals };
}

const putWords = (on, fault, { step, vals }) =>
  stepsPut(on, { step: step.id, fault }, "", laneAt(vals), "")
    .steps.map((one) => one.words)
    .join(", ");

/** A step, and the area where that is not plain. */
function wordsOf({ words, area }, { lane }) {
  const where = area || lane;
  return where ? `${words} (${areas.words(where)})` : words;
}

/** A spot sent back: the steps from the target up to now again, for that spot only, one coat each, and before them what
 *  a fault asks for.  Sent back from an area, it is a spot on that: what follows there waits for it, others do not. */
function sentBack(on, fields, at) {
  const spot = fields.area.trim();
  if (!spot) throw new Error(t("Say what and where first: one word will do. Nothing was saved."));
  const id = acts.freshId();
  const { area, steps, before } = stepsPut(on, fields, spot, at, id);
  return acts.born(on, "sent_back", { step: fields.step, area, why: "", steps, before }, id);
}

/** What is put in where a spot goes back to a step, numbered, and before which step. */
function stepsPut(on, { step: target, fault = "" }, spot, at, id) {
  const { step, passed } = stepsBehind(on, at);
  const all = [...passed, ...(step ? [step] : [])]; // of the step that is due a coat may be on
  const back = all.findIndex((one) => one.id === target);
  const outer = step?.area || all[back].area;
  const area = areas.on(outer, spot);
  const first = sandedFirst(fault, id, area);
  const again = all
    .slice(back, Math.max(passed.length, back + 1))
    .filter((one) => areas.touch(one.area, outer))
    .map((one, n) => given(one, `${id}.${n + first.length}`, area));
  return { area, steps: [...first, ...again], before: step?.id ?? null };
}

/** The step that a lane stands at, and those before it that a spot can go back to: of the lane, none of a spot that
 *  was sent back itself. */
function stepsBehind(on, at) {
  const step = acts.stepAt(on, at);
  const steps = acts.ownSteps(on).filter((one) => one.id !== step?.id);
  const all = views.view(on).steps.map(({ id }) => id);
  const end = step && all.includes(step.id) ? all.indexOf(step.id) : all.length;
  const isPassed = (one) => all.indexOf(one.id) < end && areas.touch(one.area, step?.area ?? "");
  return { step, passed: steps.filter(isPassed) };
}

acts.teach({ sentBack });
