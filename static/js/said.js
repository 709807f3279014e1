// Acts in words, for the history of a panel and for the book.
import { amount } from "./core/cup.js";
import { clock, span } from "./core/words.js";
import { degrees } from "./shown.js";
import { takenOut } from "./core/order.js";
import * as shop from "./shop.js";

const stepName = (on, id) => shop.view(on).steps?.find((step) => step.id === id)?.words || "a step";

const cupName = (on) => (shop.view(on).sheet ? `Cup of ${shop.view(on).sheet.name}` : "A cup");

const SAID = {
  panel_added: (act) => `Panel added: ${act.name}${act.route ? `, ${act.route}` : ""}`,
  panel_named: (act) => `Named: ${act.name}`,
  panel_put_away: () => "Put away",
  panel_brought_back: () => "Brought back",
  step_added: (act) => `Step added: ${act.step.words}`,
  step_dropped: () => "Step dropped",
  step_moved: (act) => `Step moved: ${stepName(act.on, act.step)}`,
  step_done: (act) => `Done: ${stepName(act.on, act.step)}`,
  sent_back: (act) => `Sent back to ${stepName(act.on, act.step)}: ${act.area || act.why}`,
  film_laid: (act) => `Laid${act.cup ? " from the cup" : ""}: ${act.sheet.name}${act.sheet.variant ? `, ${act.sheet.variant}` : ""}, coat ${act.coat}${act.area ? ` (${act.area})` : ""}`,
  cup_mixed: (act) => `Mixed: ${[act.sheet.name, act.sheet.variant, amount(act.by, act.amounts.reduce((sum, much) => sum + much, 0), shop.units())].filter(Boolean).join(", ")}`,
  cup_used: (act) => `${cupName(act.on)} went on ${shop.view(act.panel).name || "a panel"}`,
  cup_emptied: (act) => `${cupName(act.on)} emptied, ${act.left ? `${amount(shop.view(act.on).by || "volume", act.left, shop.units())} left over` : "nothing left"}`,
  both_laid: () => "Laid twice: both coats count",
  found_ready: () => "Found ready",
  found_not_ready: () => "Not ready yet",
  air_read: (act) => `Air: ${degrees(act.temp_dc)}${act.rh_pm == null ? "" : `, ${act.rh_pm / 10} % humidity`}`,
  air_expected: (act) => `Expected: ${degrees(act.temp_dc)}`,
  surface_read: (act) => `Panel itself: ${degrees(act.temp_dc)}`,
  surface_ended: () => "Panel as warm as the air again",
  ring_silenced: () => "Ring silenced",
  ring_snoozed: (act) => `Ring put off for ${span(act.until_ms - act.at)}`,
  panel_taken: (act) => (act.by === act.who ? "Taken" : `Taken by ${shop.called(act.by)}`),
  panel_handed: (act) => `Handed to ${shop.called(act.to)}${act.note ? `: ${act.note}` : ""}`,
  panel_let_go: () => "Let go",
  shop_named: (act) => `Shop named: ${act.name}`,
  phone_named: (act) => `Phone named: ${[act.person, act.name].filter(Boolean).join(", ") || "nothing"}`,
  trial_told: (act) => `Trial ring ${{ yes: "heard", late: "heard only when looked at", no: "not heard" }[act.heard]}`,
  units_chosen: () => "Units chosen",
  gun_set: (act) => `Gun set-up kept: ${act.gun}`,
  gun_dropped: (act) => `Gun set-up dropped: ${act.gun}`,
  sheet_written: (act) => `Sheet written: ${act.doc.name}`,
  sheet_put_away: (act) => `Put away: ${shop.view(act.on).doc?.name || "a product"}`,
  sheet_brought_back: (act) => `Brought back: ${shop.view(act.on).doc?.name || "a product"}`,
  route_written: (act) => `Route kept: ${act.doc.name}`,
  undone: (act) => `Undone: ${targetWords(act)}`,
  restored: (act) => `${act.stays ? "Stays" : "Put back"}: ${targetWords(act)}`,
};

export const words = (act) => (Object.hasOwn(SAID, act.kind) ? SAID[act.kind](act) : "Something a newer version knows");

/** Rows for a list of acts, newest first. */
export function rows(acts, now, zone, named = false) {
  const out = takenOut(acts);
  return [...acts].sort((one, two) => two.at - one.at || (two.id < one.id ? -1 : 1)).map((act) => ({
    key: act.id,
    on: act.on,
    when: clock(act.at, now, zone),
    words: named && act.on.startsWith("panel:") ? `${shop.view(act.on).name}. ${words(act)}` : words(act),
    mark: [act.who && !shop.isOwn(act.id) ? `by ${shop.called(act.who)}` : "", out.has(act.id) ? "taken out" : "", reach(act)].filter(Boolean).join(", "),
    out: out.has(act.id),
    deed: ["undone", "restored"].includes(act.kind) ? "" : out.has(act.id) ? "Put back" : "Undo",
  }));
}

/** How far an act has come, and no further than this phone knows; a fragment says the first sequence, then the steps. */
function reach(act) {
  if (shop.isOwn(act.id)) return "on this phone";
  const { seq: newest, acts, seqs } = shop.heardOf(act.on);
  const at = acts.findIndex((one) => one.id === act.id);
  const seq = seqs ? seqs.slice(0, at + 1).reduce((sum, step) => sum + step) : newest;
  const { seen = 0, phone } = shop.meta;
  return seq <= seen || (act.who && act.who !== phone) ? "seen by another phone" : "at the server";
}

function targetWords(act) {
  const target = shop.actsOf(act.on).find((one) => one.id === act.act);
  return target && !["undone", "restored"].includes(target.kind) ? words(target) : "a tap";
}
