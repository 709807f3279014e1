// Joining a shop with this phone: by a link, a typed code or the recovery phrase.  Loaded when first asked for.
import * as acts from "../data/acts.js";
import * as router from "../ui/router.js";
import * as shop from "../data/state.js";
import * as db from "../data/db.js";
import * as connection from "../sync/connection.js";
import * as htmx from "../sync/htmx.js";
import * as sync from "../sync/sync.js";
import { sayBeside } from "../ui/room.js";
import { taps } from "./restore.js";
import { noAnswer, request } from "../sync/api.js";
import { signed } from "../core/acts/signature.js";
import { t, tn } from "../core/base/translate.js";
import { say, show } from "../ui/dom.js";
import { takeOut } from "../ui/export_taps.js";

const OF_THE_PHONE = ["clock", "ringing", "trial"]; // what stays when a phone changes its shop
const node = (id) => document.getElementById(id);
const found = () => node("join-form"); // what the server drew of a shop that takes this phone in
let link = ""; // the link that was looked at
let taken = ""; // the waiting taps that were taken out as a file

export const actions = {
  "join-in": () => found() && join().catch((why) => sayBeside(node("join-found"), why.message)),
  "join-take": () => take(),
  "join-not": () => {
    node("join-found").replaceChildren();
    link = "";
    router.go("#floor");
    sync.ask();
  },
};

document.addEventListener("htmx:afterSwap", ({ target }) => {
  if (target.id !== "join-found") return;
  sync.ask(); // what waits is sent before this phone leaves
  paint();
});

/** A link is looked at as it is opened; what was typed is the form's own request. */
export function paint(now, zone, about = router.open().about) {
  node("join-asker").value = shop.meta.asker || "";
  if (about && about !== link) look((link = about));
  show("join-ask", !found() && (!about || node("join-why").textContent !== ""));
  if (!node("join-in")) return;
  const waits = waiting();
  say("join-waits", waits || along());
  show("join-take", waits + along() !== "");
  show("join-in", !waits);
}

async function look(secret) {
  const library = await htmx.load();
  if (library) library.ajax("POST", "/join/look", { source: "#join-ask", values: { secret, typed: "" } });
  else unreached();
}

node("join-ask").addEventListener("submit", async ({ target }) => {
  if (globalThis.htmx) return;
  if (await htmx.load()) target.requestSubmit();
  else unreached();
});

const unreached = () => say("join-why", noAnswer(node("join-ask").dataset.lost));

/** Whether the phone was of that shop before: then what waits on it is for that shop, and stays. */
const isSame = () => !shop.meta.shop || shop.meta.shop === found().dataset.shop;

/** A server that does not know this phone may have lost its shop: the one that it joins may be that shop made anew. */
const isLost = () =>
  connection.mood() === "stranger" &&
  !connection.isEnded() &&
  found().dataset.role !== "wall" &&
  shop.meta.role !== "wall";

const onlyHere = () => (!found() || isSame() ? [] : [...shop.unsent(), ...shop.refused()]);

const standing = ({ length }) =>
  tn(
    "{n} tap stands only on this phone, made in “{shop}”.",
    "{n} taps stand only on this phone, made in “{shop}”.",
    length,
    { shop: shop.meta.name },
  );

/** What goes along into a shop that may be the lost one, in words. */
const along = () =>
  onlyHere().length && isLost()
    ? `${standing(onlyHere())} ${t("If this is that shop made anew, it goes along; else it stays in the Book.")}`
    : "";

/** What still waits on this phone for the shop that it would leave, in words. */
function waiting() {
  const rows = onlyHere();
  if (!rows.length || isLost() || taken === numbers(rows)) return "";
  const stand = standing(rows);
  const how = {
    stranger: t(
      "That shop has ended this phone: a keeper there can let it back in, then all is sent. Or take it out as a file.",
    ),
    heard: shop.refused().length
      ? t("What was refused stands in the Book: settle it there, or take it out as a file.")
      : t("It is on its way: joining waits for it."),
  }[connection.mood()];
  return `${stand} ${how || t("It is sent first, when there is signal. Or take it out as a file.")}`;
}

const numbers = (rows) => rows.map((row) => row.act.id).join();

function take() {
  taken = numbers(takeOut());
}

async function join() {
  const fields = Object.fromEntries(new FormData(found()));
  const [name, person] = [fields.name.trim(), fields.person.trim()];
  if (!name) throw new Error(t("Give this phone a name first: Bench, Booth. Nothing was changed."));
  if (waiting()) throw new Error(t("Taps came in the meantime. Nothing was changed."));
  if (!shop.meta.asker) await shop.remember({ asker: acts.freshId() + acts.freshId() });
  const same = isSame();
  const asked = { ...fields, name, asker: shop.meta.asker, ...(await proof()) };
  const { phone, role, ...joined } = await request("/join", asked, node("join-ask").dataset.lost);
  const here = { phone, role, shop: joined.shop, name: joined.name, zone: joined.zone, began: true, asker: "" };
  if (same) await stayed(here, name, person);
  else await changed(here, name, person);
}

/** That this is the phone the shop knows, where only its cookie is lost: it then stands in the shop once. */
async function proof() {
  const { sign, phone, asker } = shop.meta;
  const right = isSame() && (await signed(sign, `sandtime was 1\n${asker}`));
  return right ? { was: phone, proof: right } : {};
}

/** The first shop of this phone, or the one it was of: what it holds stays. */
async function stayed(here, name, person) {
  await shop.remember(here);
  for (const act of named(here, name, person)) await shop.keep(act);
  node("join-found").replaceChildren();
  history.replaceState(null, "", "#join");
  router.go("#floor");
  sync.ask();
}

/** Another shop: all that was of the old one goes in one write with the first tap in the new one; every page starts
 *  anew. */
async function changed(here, name, person) {
  sync.deafen();
  const carried = isLost()
    ? { shop: shop.meta.name, own: onlyHere().map((row) => row.act), acts: taps().map((row) => row.act) }
    : null;
  const rows = () => named(here, name, person).map((act, n) => ({ n, act, tried: false }));
  await shop.beginAgain({ ...ofThePhone(), ...here, carried }, rows, here);
  anew();
}

/** The cookie is of another shop than what this phone shows: it was stopped halfway, or another page has done the rest.
 *  Taps that were not sent stay, as refused ones. */
export async function moved() {
  const { meta } = await db.everything();
  if (meta.shop !== shop.meta.shop) return location.reload();
  const reason = t("Made in “{shop}”, which this phone has left. It stays on this phone. [[a tap]]", {
    shop: meta.name,
  });
  await shop.mark(
    shop.rows().filter((row) => !row.why),
    { why: reason },
  );
  await shop.forgetHeard({ ...ofThePhone(), began: true });
  return anew();
}

const ofThePhone = () => Object.fromEntries(OF_THE_PHONE.map((name) => [name, shop.meta[name]]));

function anew() {
  history.replaceState(null, "", "/#floor");
  if ("BroadcastChannel" in globalThis) new BroadcastChannel("sandtime").postMessage("left");
  location.reload();
}

/** A tap that says the phone's name to the others; a wall makes no taps. */
const named = ({ phone, role }, name, person) =>
  role === "wall" ? [] : [acts.born("shop", "phone_named", { phone, name, person })];
