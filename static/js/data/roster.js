// The phones of the shop as this phone knows them: those that were named, that told of a trial, that did something.
import * as queries from "./queries.js";
import * as shop from "./state.js";
import * as views from "./views.js";
import { t } from "../core/base/translate.js";

const RECENT_MS = 30 * 86_400_000; // a phone without a name that did nothing for so long is not listed
const KEPT_MS = 10_000;
let cache = null; // {state, at, rows}: reckoned now and then, since it reads every act

/** [{id, own, title}]: this phone first, then those with a name, then the others. */
export function roster(now) {
  const state = views.view("shop");
  if (cache?.state !== state || Math.abs(now - cache.at) > KEPT_MS)
    cache = { state, at: now, rows: rowsOf(state, now) };
  return cache.rows;
}

function rowsOf({ phones = {}, trials = {} }, now) {
  const acting = queries
    .bookActs(Infinity)
    .filter((act) => act.who && act.at > now - RECENT_MS)
    .map((act) => act.who);
  const ids = new Set([shop.meta.phone, ...Object.keys(phones), ...Object.keys(trials), ...acting]);
  const rows = [...ids].filter((id) => id?.length === 36).map((id) => rowOf(id, phones[id]));
  return rows.sort((one, two) => one.rank - two.rank || one.title.localeCompare(two.title));
}

function rowOf(id, { person = "", name = "" } = {}) {
  const own = id === shop.meta.phone;
  const label = [person, name].filter(Boolean).join(", ");
  const title = own
    ? [t("This phone"), label].filter(Boolean).join(": ")
    : label || t("Phone {id}", { id: id.slice(0, 4) });
  return { id, own, title, rank: own ? 0 : label ? 1 : 2 };
}
