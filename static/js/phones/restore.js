// A server that has lost the shop: this phone makes it anew there, with all that it holds.  Loaded when first asked
// for.
import * as acts from "../data/acts.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import * as queries from "../data/queries.js";
import * as connection from "../sync/connection.js";
import * as sync from "../sync/sync.js";
import { request } from "../sync/api.js";
import { show } from "../ui/dom.js";

const STAYS = ["clock", "ringing", "trial"]; // what is the phone's own, whatever its shop
let sure = false;

export const actions = {
  "anew-ask": () => (sure = true),
  "anew-not": () => (sure = false),
  "anew-make": make,
};

/** In the Book, while the server does not know this phone: join, or make the shop anew. */
export function paint() {
  const strange = connection.mood() === "stranger" && !connection.isEnded();
  show("anew", strange);
  show("anew-ask", strange && !sure && shop.meta.role !== "wall" && shop.heardThings().length > 0);
  show("anew-sure", strange && sure);
}

/** The new shop begins with the taps of the old one, each under its own number, so that it counts once whoever tells
 *  it. */
async function make() {
  sure = false;
  const { phone } = await request("/begin", { zone: shop.meta.zone || "UTC" });
  const carried = taps();
  const meta = { ...Object.fromEntries(STAYS.map((name) => [name, shop.meta[name]])), phone, began: true };
  const { person = "", name = "" } = queries.phones()[shop.meta.phone] ?? {};
  const called = views.view("shop").name;
  const written = ["product", "route"].flatMap(writtenHere);
  sync.deafen();
  const rows = () => {
    const own = [];
    if (name || person) own.push(acts.born("shop", "phone_named", { phone, name, person }));
    if (called) own.push(acts.born("shop", "shop_named", { name: called }));
    for (const [on, kind, doc] of written) own.push(acts.born(on, kind, { doc }));
    return [...carried, ...own.map((act) => ({ act, tried: false }))].map((row, n) => ({ ...row, n: n + 1 }));
  };
  await shop.beginAgain(meta, rows, { phone, role: "keeper" });
  history.replaceState(null, "", "/#floor");
  if ("BroadcastChannel" in globalThis) new BroadcastChannel("sandtime").postMessage("left");
  location.reload();
}

/** All taps that this phone holds.  The shop's name was a keeper's of the old shop to give: it is told anew. */
export function taps() {
  const heard = shop.heardActs().map((act) => ({ act, tried: true }));
  const own = shop.rows().map(({ act, tried, ahead }) => ({ act, tried, ahead }));
  const once = new Map([...heard, ...own].map((row) => [row.act.id, row]));
  return [...once.values()]
    .filter(({ act }) => act.kind !== "shop_named")
    .sort((one, two) => (one.act.id < two.act.id ? -1 : 1));
}

/** Sheets and routes that were written over others: the shelf of the new shop is younger, and would rule over them. */
const writtenHere = (kind) =>
  queries
    .docs(kind)
    .filter(({ on }) => shop.actsOf(on).some((act) => act.over))
    .map(({ on, doc }) => [on, kind === "product" ? "sheet_written" : "route_written", doc]);
