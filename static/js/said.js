// Acts in words, for the history of a panel and for the book.
import { clock, degrees } from "./core/words.js";
import { takenOut } from "./core/order.js";
import * as shop from "./shop.js";

const stepName = (on, id) => shop.view(on).steps?.find((step) => step.id === id)?.words || "a step";

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
  film_laid: (act) => `Laid: ${act.sheet.name}${act.sheet.variant ? `, ${act.sheet.variant}` : ""}, coat ${act.coat}${act.area ? ` (${act.area})` : ""}`,
  found_ready: () => "Found ready",
  found_not_ready: () => "Not ready yet",
  air_read: (act) => `Air: ${degrees(act.temp_dc)}${act.rh_pm == null ? "" : `, ${act.rh_pm / 10} % humidity`}`,
  sheet_written: (act) => `Sheet written: ${act.doc.name}`,
  sheet_put_away: (act) => `Put away: ${shop.view(act.on).doc?.name || "a product"}`,
  sheet_brought_back: (act) => `Brought back: ${shop.view(act.on).doc?.name || "a product"}`,
  route_written: (act) => `Route kept: ${act.doc.name}`,
  undone: (act) => `Undone: ${targetWords(act)}`,
  restored: (act) => `Put back: ${targetWords(act)}`,
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
    mark: [out.has(act.id) ? "taken out" : "", shop.isOwn(act.id) ? "on this phone" : ""].filter(Boolean).join(", "),
    out: out.has(act.id),
    deed: ["undone", "restored"].includes(act.kind) ? "" : out.has(act.id) ? "Put back" : "Undo",
  }));
}

function targetWords(act) {
  const target = shop.actsOf(act.on).find((one) => one.id === act.act);
  return target && !["undone", "restored"].includes(target.kind) ? words(target) : "a tap";
}
