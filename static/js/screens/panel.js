// The panel's page, the shelf and the book: painted whole from what the phone knows.
import { opensAt, closesAt, opening, closing } from "../core/clock/cure.js";
import { ALWAYS_SANDED } from "../core/clock/clock_step.js";
import * as finishing from "../core/fold/finishing.js";
import { openSteps } from "../core/clock/lanes.js";
import { touch } from "../core/fold/areas.js";
import { stepWords } from "../core/card/panel_card.js";
import { strip } from "../core/card/strip.js";
import { gateOf } from "../core/clock/film.js";
import { later, t } from "../core/base/translate.js";
import { opens, shuts } from "../core/base/words.js";
import * as describe from "../ui/describe.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import { faceOf, paintFace } from "./floor.js";
import { degrees } from "../ui/units.js";
import { setVals } from "../ui/act_markup.js";
import { copy, paint, paintList, paintStrip, say, set, show } from "../ui/dom.js";

export const GATE_WORDS = {
  ...{
    flash: later("next coat [[a gate: it may go on]]"),
    sand: later("sand [[a gate: it may be sanded]]"),
    handle: later("handle [[a gate: it may be touched]]"),
  },
  ...{
    cure: later("cured [[a gate]]"),
    recoat_by: later("recoat until [[a gate]]"),
    recoat_again: later("recoat again [[a gate: a window that had shut is open]]"),
    pot: later("cup lasts [[a gate: pot life]]"),
  },
  ...{
    induction: later("let stand [[a gate: after mixing]]"),
    clear_air: later("air clear [[a gate: after spraying]]"),
  },
};
const list = (id) => document.getElementById(id);
let page = null;
let grit = null; // the ladder of papers, loaded with the first panel's page

export function paintPanel(on, now, zone) {
  const birth = on && queries.birth(on);
  const state = birth && views.view(on);
  const isThere = Boolean(state) && state.added_at !== null;
  set(list("screen-panel"), "there", isThere ? "yes" : "no");
  paintList(list("panel-gone"), "act-row", birth && !isThere ? goneRows([birth], now, zone) : [], paintAct);
  if (!isThere) return say("panel-name", birth ? state.name || birth.name : t("This panel is not on this phone"));
  if (!grit) import("../core/bench/grit.js").then((rules) => (grit = rules));
  say("panel-name", state.name);
  say("panel-job", state.job);
  if (page?.dataset.on !== on) list("panel-card").replaceChildren((page = copy("card")));
  page.dataset.on = on;
  paintFace(page, faceOf(on, now, zone));
  show("panel-take", !state.taken || state.taken.by !== shop.meta.phone);
  show("panel-let-go", Boolean(state.taken));
  list("panel-buy").hash = `#buy=${on}`;
  say("panel-surface", surfaceWords(state, now, zone));
  const films = [...state.films].reverse();
  show("films-empty", !films.length);
  paintList(
    list("films"),
    "film-row",
    films.map((film) => filmRow(on, film, now, zone)),
    paintFilm,
  );
  paintList(list("steps"), "step-row", stepRows(on, now, zone), paintStep);
  paintList(list("acts"), "act-row", describe.rows(shop.actsOf(on), now, zone), paintAct);
}

/** Panels that were taken out, each by the act that it began with, to be put back. */
export const goneRows = (births, now, zone) =>
  describe
    .rows(births, now, zone)
    .map((row) => ({ ...row, mark: t("taken out"), out: true, deed: t("Put back [[do it]]") }));

/** What is said of the panel's own temperature. */
function surfaceWords({ surfaces = [] }, now, zone) {
  const last = surfaces.findLast(([from, until]) => from <= now && (until === null || until > now));
  if (!last) return t("Panel as warm as the air. Lamp, cold metal?");
  const temp = degrees(last[2]);
  return last[1] === null
    ? t("Panel at {temp}", { temp })
    : t("Panel at {temp} until {time}", { temp, time: shuts(last[1], now, zone) });
}

function filmRow(on, film, now, zone) {
  const shuts = ALWAYS_SANDED.includes(film.sheet.cls) ? [] : ["recoat_by", "recoat_again"];
  const gates = Object.keys(film.sheet.gates).filter((gate) =>
    ["flash", "sand", "handle", "cure", ...shuts].includes(gate),
  );
  const need = film.sheet.gates.flash ? "flash" : "sand";
  const gate = gateOf(film, need, views.felt(on));
  const times = {
    gate: gate ? need : "",
    laid_at: film.laid_at,
    opens_at: gate?.opens_at ?? null,
    shuts_at: gate?.shuts_at ?? null,
  };
  return {
    key: film.id,
    title: `${film.sheet.name}, ${describe.coat(film)}`,
    laid: [laidWords(on, film, now, zone), film.sheet.variant, film.sanded.length && t("sanded")]
      .filter(Boolean)
      .join(", "),
    strip: strip("", times, now, zone),
    clocks: gates.map((one) => gateWords(on, film, one, now, zone)).join(" · "),
    note: film.sheet.typical ? t("typical, check your sheet") : "",
  };
}

/** A film has the number of the act that laid it. */
function laidWords(on, { id, laid_at: laid, who }, now, zone) {
  const time = shuts(laid, now, zone);
  const teller = shop.toldBy(on, id);
  if (who && teller)
    return t("laid {time} by {who}, told by {teller}", {
      time,
      who: queries.called(who),
      teller: queries.called(teller),
    });
  return who ? t("laid {time} by {who}", { time, who: queries.called(who) }) : t("laid {time}", { time });
}

function gateWords(on, film, gate, now, zone) {
  if (gate === "recoat_by")
    return t("recoat until {time}", {
      time: shuts(closesAt(closing(film.sheet, gate), film.laid_at, views.felt(on)), now, zone),
    });
  const at = opensAt(opening(film.sheet, gate), film.laid_at, views.felt(on));
  const named = { gate: t(GATE_WORDS[gate]) };
  return at === null
    ? t("{gate}: stands still, too cold", named)
    : t("{gate} from {time}", { ...named, time: opens(at, now, zone) });
}

function paintFilm(row, value) {
  paint(row, value);
  paintStrip(row, value.strip);
}

/** What the grit ladder says of a sanding step against the one before it, where no film lies between. */
function gritWords(steps, at) {
  const here = steps.slice(0, at).filter((one) => touch(one.area, steps[at].area));
  const before = here.findLast((one) => one.grit || ["fill", "coat"].includes(one.do));
  if (!grit || !steps[at].grit || !before?.grit) return "";
  const [rung] = grit.ladder([before.grit, steps[at].grit]);
  return rung.ok ? "" : rung.words;
}

function stepRows(on, now, zone) {
  const [state, times] = [views.view(on), views.times(on)];
  const next = openSteps(state).map((step) => step.id);
  const clocks = (times.lanes ?? [times]).flatMap(({ later = [] }) => later);
  const from = new Map(clocks.map((clock) => [clock.step, clock.opens_at]));
  return finishing.steps(state).map((step, at, all) => ({
    grit: gritWords(all, at),
    key: step.id,
    vals: { step: step.id },
    words: stepWords(step),
    told: toldOf(step, next, from.get(step.id) ?? null, now, zone),
    done: step.done_at === null ? (next.includes(step.id) ? "next" : "no") : "yes",
  }));
}

/** When a step was done; that it is the next; else from when its film lets it be done, where that is known. */
function toldOf({ id, done_at: done }, next, from, now, zone) {
  if (done !== null) return t("done {time}", { time: shuts(done, now, zone) });
  if (next.includes(id)) return t("next [[the step that is due]]");
  return from === null ? "" : t("from {time} [[a step that has to wait]]", { time: opens(from, now, zone) });
}

function paintStep(row, value) {
  paint(row, value);
  set(row, "done", value.done);
  row.querySelector(".small").hidden = value.done === "yes";
  row.querySelector("[data-do=step-here]").hidden = value.done !== "no";
  for (const move of row.querySelectorAll("[data-do=earlier], [data-do=later]"))
    move.hidden = finishing.IDS.includes(value.key); // they follow the last coat, and each other
}

export function paintAct(row, value) {
  paint(row, value);
  set(row, "on", value.on);
  set(row, "out", value.out ? "yes" : "no");
  setVals(row, { kind: value.out ? "restored" : "undone", on: value.on, act: value.key });
  row.querySelector("[data-do=undo]").hidden = !value.deed;
  row.querySelector("[data-do=correct]").hidden = !value.fix;
}
