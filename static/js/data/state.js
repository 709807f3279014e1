// What this phone knows: the server's last word on each thing, and this phone's own acts laid on top.
import * as clock from "./clock.js";
import * as air from "../core/air.js";
import * as cup from "../core/cup.js";
import * as film from "../core/film.js";
import * as house from "../core/house.js";
import * as panel from "../core/panel.js";
import * as shelf from "../core/shelf.js";
import * as store from "./db.js";

const FOLDS = {
  panel: panel.fold,
  cup: cup.fold,
  air: air.fold,
  product: shelf.fold,
  route: shelf.fold,
  shop: house.fold,
};
export const things = new Map(); // on -> {seq, acts, state}
const views = new Map(); // on -> folded with our own acts
const timed = new Map(); // on -> times, for a view and a trace
export const outbox = new Map(); // act id -> {n, act, tried, seq, why}
export const meta = {};
/** A full disk is a fact beside the signal: it stands until all is written, and is said until the person has seen
 *  it. */
export const full = { stands: false, seen: true };
const loose = new Set(); // ids of acts that the disk did not take
let last = 0;
let steps = null;

export async function load(reading = store.everything()) {
  const found = await reading;
  for (const row of found.kept) things.set(row.on, row);
  for (const row of found.outbox) take(row);
  Object.assign(meta, found.meta);
  fromNothing();
  return found;
}

/** Emptied under a page that went on writing: what it wrote since stands on nothing, so all is to be told again. */
const fromNothing = () => meta.fresh && Object.assign(meta, { cursor: 0, cursorAct: "" });

/** Another page of this phone wrote these things, or all (nothing named): they are taken from the disk, but for rows
 *  that this page has yet to write itself. */
export async function reread(ons) {
  const { outbox: rows, kept, meta: facts } = await store.some(ons);
  const isNewHere = (name, key) => store.owes(name, key);
  const [ids, found] = [new Set(rows.map((row) => row.act.id)), new Set(kept.map((row) => row.on))];
  for (const { act } of [...outbox.values()]) if (!ids.has(act.id) && !isNewHere("outbox", act.id)) letGo(act);
  // sync holds it too
  for (const row of rows) if (!isNewHere("outbox", row.act.id)) take(Object.assign(outbox.get(row.act.id) ?? {}, row));
  for (const on of ons ?? things.keys()) if (!found.has(on) && !isNewHere("kept", on) && things.delete(on)) forget(on);
  for (const row of kept) if (!isNewHere("kept", row.on) && things.set(row.on, row)) forget(row.on);
  for (const [name, value] of Object.entries(facts)) if (!isNewHere("meta", name)) meta[name] = value;
  fromNothing();
}

/** An act of this phone: on the disk first; what the disk does not take is held here, see `onlyHere`. */
export const keep = (act) => keepAll([act]);

/** Acts kept all or none; those taken from another phone are marked, so that our clock does not move them.  `signs` are
 *  the marks of the phones that made them, by act id.  Why they are not on the disk, or null. */
export async function keepAll(acts, marks, signs = {}) {
  const signed = ({ id }) => (signs[id] ? { mark: signs[id] } : {});
  const rows = acts.map((act) => ({ n: ++last, act, tried: false, ahead: clock.jumped(), ...marks, ...signed(act) }));
  const why = await owed(rows.map((row) => ["put", "outbox", row]));
  rows.forEach(take);
  const left = acts.filter(({ id }) => store.owes("outbox", id));
  for (const { id } of left) loose.add(id);
  return left.length ? why : null;
}

/** Acts that only this page holds: neither the disk nor the server has them. */
export function onlyHere() {
  for (const id of loose) if (!outbox.has(id) || !store.owes("outbox", id)) loose.delete(id);
  return [...loose].map((id) => outbox.get(id)).filter((row) => !row.seq);
}

export const isLoose = (actId) => onlyHere().some((row) => row.act.id === actId);

/** What the disk did not take is tried again; called at each tick. */
export async function settle() {
  if (store.owes()) await store.settle();
  if (!store.owes()) full.stands = false;
}

/** What `tell` says while acts that this phone does not know are laid on top; nothing of them stays. */
export function supposing(acts, tell) {
  for (const act of acts) take({ n: 0, act });
  try {
    return tell();
  } finally {
    acts.forEach(letGo);
  }
}

/** Acts still to be posted, oldest first. */
export const unsent = () =>
  [...outbox.values()]
    .filter((row) => !row.seq && !row.why)
    .sort((one, two) => one.n - two.n || (one.act.id < two.act.id ? -1 : 1));
export const refused = () => [...outbox.values()].filter((row) => row.why);

/** Change rows of the outbox: marks, a corrected moment. */
export async function mark(rows, change) {
  for (const row of rows) {
    Object.assign(row, typeof change === "function" ? change(row) : change);
    forget(row.act.on);
  }
  await owed(rows.map((row) => ["put", "outbox", row]));
}

export async function throwAway(actId) {
  letGo(outbox.get(actId).act);
  await owed([["delete", "outbox", actId]]);
}

/** The server's word: fragments, verdicts, the new cursor; our acts that are in it leave the outbox with it.
 *  Nothing older comes over what is newer, unless the numbers begin anew: another shop, or one that was put back.
 *  The things changed. */
export async function hear({ fragments, verdicts, cursor, cursorAct = "", extra, anew = false }) {
  const put = anew ? "put" : "newer";
  const fresh = fragments.filter(({ on, seq }) => anew || !(things.get(on)?.seq > seq));
  const changes = fresh.map((row) => [put, "kept", row]);
  for (const row of fresh) {
    things.set(row.on, row);
    forget(row.on);
  }
  for (const { id, seq, why } of verdicts) {
    const row = outbox.get(id);
    if (!row) continue;
    Object.assign(row, why ? { why } : { seq });
    forget(row.act.on);
    changes.push(["put", "outbox", row]);
  }
  for (const { act } of [...outbox.values()].filter(isHeard)) {
    letGo(act);
    changes.push(["delete", "outbox", act.id]);
  }
  const reached = anew ? cursor : Math.max(cursor, meta.cursor || 0);
  const about = reached === cursor ? { ...extra, cursorAct } : extra; // an older answer says nothing of the act there
  Object.assign(meta, about, { cursor: reached });
  changes.push(...facts(about), [put, "meta", { name: "cursor", value: reached }]);
  await owed(changes);
  return fresh.map((row) => row.on);
}

/** Whether an act is in the fragment of its thing: only then may it leave the outbox, or the card would fall back.  Of
 *  the air an old reading can be heard and no longer needed. */
const isHeard = ({ seq, act }) =>
  seq &&
  (things.get(act.on)?.acts.some((one) => one.id === act.id) || (act.on === "air" && things.get("air")?.seq >= seq));

/** Facts about this phone that outlive the page. */
export async function remember(values) {
  Object.assign(meta, values);
  const why = await store.owe(facts(values));
  if (why) throw why;
}

/** Facts that may be lost: a full disk is said when a tap meets it. */
export const note = (values) => remember(values).catch(() => {});

/** A thing as this phone shows it. */
export function view(on) {
  if (!views.has(on)) views.set(on, folded(on));
  return views.get(on);
}

export const actsOf = (on) => [...(things.get(on)?.acts || []), ...ownActs(on)];
/** A number that only grows with the acts on a thing, whether they are still needed or not. */
export const reach = (on) => (things.get(on)?.seq || 0) + ownActs(on).length;
export const isOwn = (actId) => outbox.has(actId);
/** The phone that told an act which names another as its maker, without that one's mark; undefined where the maker is
 *  sure. */
export const toldBy = (on, actId) => things.get(on)?.told_by?.[actId];
/** The server's last word on a thing: {seq, acts, seqs, state}. */
export const heardOf = (on) => things.get(on);

export const airState = () => view("air");
export const trace = () => (steps ||= air.trace(airState()));

/** The temperatures that a thing has felt: the shop's, under a panel's own surface. */
export const felt = (on) => (on.startsWith("panel:") ? film.felt(view(on), airState(), trace()) : trace());

export function times(on) {
  if (!timed.has(on)) timed.set(on, (on.startsWith("cup:") ? cup : film).times(view(on), felt(on)));
  return timed.get(on);
}

export const names = (kind) => {
  const all = new Set([...things.keys(), ...[...outbox.values()].filter((row) => !row.why).map((row) => row.act.on)]);
  return [...all].filter((on) => on.startsWith(`${kind}:`));
};

const ownActs = (on) => [...outbox.values()].filter((row) => row.act.on === on && !row.why).map((row) => row.act);

function folded(on) {
  const own = ownActs(on);
  const thing = things.get(on);
  return own.length || !thing ? FOLDS[on.split(":")[0]]([...(thing?.acts || []), ...own]) : thing.state;
}

const facts = (values) => Object.entries(values).map(([name, value]) => ["put", "meta", { name, value }]);

/** To the disk, now or later; that it is full is said where taps or the server's words meet it. */
async function owed(changes) {
  const why = await store.owe(changes);
  if (why?.name === "QuotaExceededError") Object.assign(full, { stands: true, seen: full.stands && full.seen });
  return why;
}

function letGo({ id, on }) {
  outbox.delete(id);
  forget(on);
}

function take(row) {
  last = Math.max(last, row.n);
  outbox.set(row.act.id, row);
  forget(row.act.on);
}

function forget(on) {
  views.delete(on);
  timed.delete(on);
  if (on !== "air") return;
  steps = null;
  timed.clear();
}
