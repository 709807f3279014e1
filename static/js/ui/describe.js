// Acts in words, for the history of a panel and for the book.
import { amount } from "../core/card/cup.js";
import * as areas from "../core/fold/areas.js";
import { decimal, later, t } from "../core/base/translate.js";
import { clock, span } from "../core/base/words.js";
import { degrees } from "./units.js";
import { steps } from "../core/fold/finishing.js";
import { CORRECTED, GROUPS } from "../core/base/corrections.js";
import { takenOut } from "../core/fold/order.js";
import * as shopClock from "../data/clock.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";

function stepName(on, id) {
  const step = steps(views.view(on)).find((one) => one.id === id);
  return step ? withArea(step.words, step.area) : t("a step");
}

const withArea = (said, area) => (area ? `${said} (${areas.words(area)})` : said);

/** Where the films lie that a hand tried: "Found ready (Underside)". */
function foundWords(said, { on, films }) {
  const where = new Set(
    views.view(on).films.flatMap((film) => (films.includes(film.id) && film.area ? [film.area] : [])),
  );
  return withArea(said, [...where].map(areas.words).join(", "));
}

const productName = (on) => views.view(on).doc?.name || t("a product");

const cupName = (on) => (views.view(on).sheet ? t("Cup of {name}", { name: views.view(on).sheet.name }) : t("A cup"));

/** Which coat, and where: "coat 2 (upper edge)". */
export const coat = ({ coat: n, area }) => withArea(t("coat {n}", { n }), area);

const TRIALS = {
  yes: later("Trial ring heard"),
  late: later("Trial ring heard only when looked at"),
  no: later("Trial ring not heard"),
};

const SAID = {
  panel_added: (act) =>
    act.route
      ? t("Panel added: {name}, {route}", { name: act.name, route: act.route })
      : t("Panel added: {name}", { name: act.name }),
  panel_named: (act) => t("Named: {name}", { name: act.name }),
  panel_put_away: () => t("Put away [[it was]]"),
  panel_brought_back: () => t("Brought back"),
  step_added: (act) => t("Step added: {step}", { step: withArea(act.step.words, act.step.area) }),
  step_dropped: () => t("Step dropped"),
  step_moved: (act) => t("Step moved: {step}", { step: stepName(act.on, act.step) }),
  step_done: (act) => t("Done: {step}", { step: stepName(act.on, act.step) }),
  sent_back: (act) =>
    t("Sent back to {step}: {why}", { step: stepName(act.on, act.step), why: areas.words(act.area) || act.why }),
  film_laid: laidWords,
  cup_mixed: (act) =>
    t("Mixed: {what}", {
      what: [
        act.sheet.name,
        act.sheet.variant,
        amount(
          act.by,
          act.amounts.reduce((sum, much) => sum + much, 0),
          queries.units(),
        ),
      ]
        .filter(Boolean)
        .join(", "),
    }),
  cup_used: usedWords,
  cup_emptied: emptiedWords,
  both_laid: () => t("Laid twice: both coats count"),
  found_ready: (act) => foundWords(t("Found ready"), act),
  found_not_ready: (act) => foundWords(t("Not ready yet"), act),
  air_read: airWords,
  air_expected: (act) => t("Expected: {temp}", { temp: degrees(act.temp_dc) }),
  surface_read: heatWords,
  surface_ended: () => t("Panel as warm as the air again"),
  ring_silenced: () => t("Ring silenced"),
  ring_snoozed: (act) => t("Ring put off for {span}", { span: span(act.until_ms - act.at) }),
  panel_taken: (act) =>
    act.by === act.who ? t("Taken [[a panel, by a person]]") : t("Taken by {who}", { who: queries.called(act.by) }),
  panel_handed: handedWords,
  panel_let_go: () => t("Let go [[it was]]"),
  phone_named: (act) =>
    t("Phone named: {name}", { name: [act.person, act.name].filter(Boolean).join(", ") || t("nothing") }),
  trial_told: (act) => t(TRIALS[act.heard]),
  units_chosen: () => t("Units chosen"),
  shop_named: (act) => t("Shop named: {name}", { name: act.name }),
  gun_set: (act) => t("Gun set-up kept: {gun}", { gun: act.gun }),
  gun_dropped: (act) => t("Gun set-up dropped: {gun}", { gun: act.gun }),
  sheet_written: (act) => t("Sheet written: {name}", { name: act.doc.name }),
  sheet_put_away: (act) => t("Put away: {what}", { what: productName(act.on) }),
  sheet_brought_back: (act) => t("Brought back: {what}", { what: productName(act.on) }),
  route_written: (act) => t("Route kept: {name}", { name: act.doc.name }),
  act_corrected: correctedWords,
  undone: (act) => t("Undone: {what}", { what: targetWords(act) }),
  restored: (act) =>
    act.stays ? t("Stays: {what}", { what: targetWords(act) }) : t("Put back: {what}", { what: targetWords(act) }),
};

function laidWords(act) {
  const what = [act.sheet.name, act.sheet.variant, coat(act)].filter(Boolean).join(", ");
  return act.cup ? t("Laid from the cup: {what}", { what }) : t("Laid: {what}", { what });
}

/** What was corrected, and to what. */
function correctedWords(act) {
  const [zone, now] = [queries.zone(), Math.floor(shopClock.now())];
  const moment = act.at_ms && t("it was at {time}", { time: clock(act.at_ms, now, zone) });
  const sheet = act.sheet && [act.sheet.name, act.sheet.variant, act.coat && coat({ ...act, area: "" })];
  return t("Corrected: {what}. Now: {fix}", {
    what: targetWords(act),
    fix: [moment, ...(sheet || [])].filter(Boolean).join(", "),
  });
}

function usedWords(act) {
  const { name } = views.view(act.panel);
  return name
    ? t("{cup} went on {panel}", { cup: cupName(act.on), panel: name })
    : t("{cup} went on a panel", { cup: cupName(act.on) });
}

function emptiedWords({ on, left }) {
  const values = { cup: cupName(on) };
  if (!left) return t("{cup} emptied, nothing left", values);
  return t("{cup} emptied, {amount} left over", {
    ...values,
    amount: amount(views.view(on).by || "volume", left, queries.units()),
  });
}

function heatWords({ temp_dc: dc, warm_ms: warm, cool_ms: cool }) {
  const temp = degrees(dc);
  if (!warm && !cool) return t("Panel itself: {temp}", { temp });
  return t("Panel itself: {temp}, warm-up {warm}, cool-down {cool}", { temp, warm: span(warm), cool: span(cool) });
}

function airWords({ temp_dc: dc, rh_pm: rh }) {
  const temp = degrees(dc);
  return rh == null
    ? t("Air: {temp}", { temp })
    : t("Air: {temp}, {rh} % humidity", { temp, rh: decimal(String(rh / 10)) });
}

function handedWords({ to, note }) {
  const who = queries.called(to);
  return note ? t("Handed to {who}: {note}", { who, note }) : t("Handed to {who}", { who });
}

export const words = (act) =>
  Object.hasOwn(SAID, act.kind) ? SAID[act.kind](act) : t("Something a newer version knows");

/** Rows for a list of acts, newest first. */
export function rows(acts, now, zone, named = false) {
  const out = takenOut(acts);
  const fixed = new Map(acts.filter((act) => act.kind === CORRECTED && !out.has(act.id)).map((act) => [act.act, act]));
  return [...acts]
    .sort((one, two) => two.at - one.at || (two.id < one.id ? -1 : 1))
    .map((act) => ({
      key: act.id,
      on: act.on,
      when: clock(act.at, now, zone),
      words:
        named && act.on.startsWith("panel:")
          ? [views.view(act.on).name || queries.birth(act.on)?.name, words(act)].filter(Boolean).join(". ")
          : words(act),
      mark: [makerWords(act), out.has(act.id) ? t("taken out") : "", ...fixWords(act, fixed, now, zone), reach(act)]
        .filter(Boolean)
        .join(", "),
      out: out.has(act.id),
      fix: Object.hasOwn(GROUPS, act.kind) && !out.has(act.id),
      deed: ["undone", "restored"].includes(act.kind)
        ? ""
        : out.has(act.id)
          ? t("Put back [[do it]]")
          : t("Undo [[do it]]"),
    }));
}

/** That an act was corrected, by whom, and that it was before its panel was added. */
function fixWords(act, fixed, now, zone) {
  const by = fixed.get(act.id);
  const { added_at: added } = act.on.startsWith("panel:") ? views.view(act.on) : {};
  const who = by?.who ? queries.called(by.who) : t("a phone");
  return [
    by?.at_ms && t("corrected to {time} by {who}", { time: clock(by.at_ms, now, zone), who }),
    by && !by.at_ms && t("corrected by {who}", { who }),
    (by?.at_ms ?? act.at) < added && GROUPS[act.kind] && t("before the panel was added here"),
  ];
}

/** Who made an act; and who told it, where the maker did not vouch for it. */
function makerWords({ on, id, who }) {
  if (!who || shop.isOwn(id)) return "";
  const teller = shop.toldBy(on, id);
  return teller
    ? t("by {who}, told by {teller}", { who: queries.called(who), teller: queries.called(teller) })
    : t("by {who}", { who: queries.called(who) });
}

/** How far an act has come, and no further than this phone knows; a fragment says the first sequence, then the
 *  steps. */
function reach(act) {
  if (shop.isOwn(act.id)) return shop.isLoose(act.id) ? t("only on this page [[a tap]]") : t("on this phone");
  const { seq: newest, acts, seqs } = shop.heardOf(act.on);
  const at = acts.findIndex((one) => one.id === act.id);
  const seq = seqs ? seqs.slice(0, at + 1).reduce((sum, step) => sum + step) : newest;
  const { seen = 0, phone } = shop.meta;
  return seq <= seen || (act.who && act.who !== phone) ? t("seen by another phone") : t("at the server");
}

function targetWords(act) {
  const target = shop.actsOf(act.on).find((one) => one.id === act.act);
  return target && !["undone", "restored"].includes(target.kind) ? words(target) : t("a tap");
}
