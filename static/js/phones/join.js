// Joining a shop with this phone: by a link, a typed code or the recovery phrase.  Loaded when first asked for.
import * as acts from "../data/acts.js";
import * as router from "../ui/router.js";
import * as shop from "../data/state.js";
import * as db from "../data/db.js";
import * as connection from "../sync/connection.js";
import * as sync from "../sync/sync.js";
import { taps } from "./restore.js";
import { request } from "../sync/api.js";
import { signed } from "../core/acts/signature.js";
import { later, t, tn } from "../core/base/translate.js";
import { say, show } from "../ui/dom.js";
import { takeOut } from "../ui/export_taps.js";

const OF_THE_PHONE = ["clock", "ringing", "trial"]; // what stays when a phone changes its shop
const TAKES = {
  keeper: later("“{shop}” takes this phone in as a keeper's phone."),
  painter: later("“{shop}” takes this phone in as a painter's phone."),
  wall: later("“{shop}” takes this phone in as a tablet on the wall, which may only look."),
};
const node = (id) => document.getElementById(id);
let link = ""; // the link that was looked at
let way = null; // what it came by: {secret} or {typed}
let invite = null; // what the server says of it
let why = "";
let taken = ""; // the waiting taps that were taken out as a file

export const actions = {
  "join-look": () => look({ typed: node("join-typed").value }),
  "join-in": () => attempt(join),
  "join-take": () => take(),
  "join-not": () => {
    invite = way = null;
    router.go("#floor");
    sync.ask();
  },
};

export function paint(now, zone, about) {
  if (about && about !== link) {
    link = about;
    look({ secret: about });
  }
  const waits = waiting();
  say("join-why", why);
  show("join-ask", !invite && (!link || why !== ""));
  show("join-found", Boolean(invite));
  if (!invite) return;
  const leaves = invite.leaves && !isSame();
  say("join-shop", t(TAKES[invite.role], { shop: invite.name }));
  say("join-asks", isSame() ? "" : invite.why || invite.asks);
  say("join-waits", waits || along());
  show("join-take", waits + along() !== "" && !invite.why);
  say(
    "join-in",
    leaves
      ? t("Leave “{old}” and join “{shop}”", { old: shop.meta.name, shop: invite.name })
      : t("Join “{shop}”", { shop: invite.name }),
  );
  show("join-in", !invite.why && !waits);
}

/** Whether the phone was of that shop before: then what waits on it is for that shop, and stays. */
const isSame = () => !shop.meta.shop || shop.meta.shop === invite.shop;

/** A server that does not know this phone may have lost its shop: the one that it joins may be that shop made anew. */
const isLost = () =>
  connection.mood() === "stranger" && !connection.isEnded() && invite.role !== "wall" && shop.meta.role !== "wall";

const onlyHere = () => (!invite || isSame() ? [] : [...shop.unsent(), ...shop.refused()]);

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

async function look(by) {
  await attempt(async () => {
    invite = null;
    way = by;
    invite = await ask("join/look", way);
    sync.ask();
  });
  router.turn();
}

/** Do something and say what went wrong on this screen. */
async function attempt(work) {
  why = "";
  await work().catch((trouble) => (why = trouble.message));
  paint(0, null, link);
}

async function join() {
  const [name, person] = ["join-name", "join-person"].map((id) => node(id).value.trim());
  if (!name) throw new Error(t("Give this phone a name first: Bench, Booth. Nothing was changed."));
  if (waiting()) throw new Error(t("Taps came in the meantime. Nothing was changed."));
  if (!shop.meta.asker) await shop.remember({ asker: acts.freshId() + acts.freshId() });
  const same = isSame();
  const { phone, role, ...joined } = await ask("join", { ...way, name, leaves: invite.leaves, ...(await proof()) });
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
  invite = way = null;
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

const ask = (where, fields) =>
  request(`/${where}`, { ...fields, asker: shop.meta.asker || "" }, t("Tap again when there is. [[signal]]"));
