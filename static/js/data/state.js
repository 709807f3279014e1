// What this phone knows: the server's last word on each thing, this phone's own acts, and facts about the phone.
import * as clock from "./clock.js";
import * as db from "./db.js";
import { again } from "./emptied.js";
import * as events from "./events.js";
import * as disk from "./full_disk.js";
import { readonly } from "./readonly.js";

const things = new Map(); // on -> {seq, acts, state}
const outbox = new Map(); // act id -> {n, act, tried, seq, why}
const stored = {};
const loose = new Set(); // ids of acts that the disk did not take
const OF_A_PAGE = new Set(["cursor", "cursorAct"]); // a page with fewer things may not ask from where another stands
let [last, isLoaded, closings] = [0, false, 0];

/** Said of each thing that changed here: what is reckoned from it is void (views.js). */
const forget = (on) => events.say("thing", on);

/** What this phone holds of itself and its shop: read by all, changed by this module alone. */
export const meta = readonly(stored);

export async function load(reading = db.everything()) {
  const onDisk = await reading;
  for (const row of onDisk.kept) things.set(row.on, row);
  for (const row of onDisk.outbox) take(row);
  Object.assign(stored, onDisk.meta);
  fromNothing();
  isLoaded = true;
  return onDisk;
}

/** Emptied before this page began: what other pages wrote since stands on nothing, so all is to be told again. */
const fromNothing = () => stored.fresh && Object.assign(stored, { cursor: 0, cursorAct: "" });

/** Another page of this phone wrote these things, or all (nothing named, or the server was put back): they are taken
 *  from the disk, but for rows that this page has yet to write itself.  With `isToAsk` also all that another heard:
 *  this one then asks from where that one stands, and names to the server the last act that the phone heard. */
export async function reread(ons, isToAsk = false) {
  const { outbox: rows, kept, meta: facts } = await db.some(ons);
  const isEmptied = isLoaded && facts.disk && facts.disk !== stored.disk;
  if (isEmptied && !ons) return refill({ outbox: rows, kept, meta: facts });
  const isBehind = isToAsk && !facts.fresh && facts.cursor > stored.cursor;
  if (isEmptied || (ons && (isBehind || facts.memory !== stored.memory))) return reread();
  const isNewHere = (name, key) => db.owes(name, key);
  const [ids, onDisk] = [new Set(rows.map((row) => row.act.id)), new Set(kept.map((row) => row.on))];
  const gone = [...outbox.values()].filter(({ act }) => !ids.has(act.id) && !isNewHere("outbox", act.id));
  const unread = ons ? gone.map(({ act }) => act.on).filter((on) => !ons.includes(on)) : [];
  if (unread.length) return reread([...ons, ...unread]); // another page heard of them: no card falls back
  for (const { act } of gone) letGo(act);
  for (const row of rows) if (!isNewHere("outbox", row.act.id)) take(Object.assign(outbox.get(row.act.id) ?? {}, row));
  for (const on of ons ?? things.keys()) if (!onDisk.has(on) && !isNewHere("kept", on) && things.delete(on)) forget(on);
  const isNewer = ({ on, seq }) => facts.memory === stored.memory && seq > things.get(on)?.seq;
  const isToTake = (row) => !isNewHere("kept", row.on) || isNewer(row);
  for (const row of kept.filter(isToTake)) if (things.set(row.on, row)) forget(row.on);
  const before = stored.memory;
  const isOurs = (name) => isNewHere("meta", name) || ((ons || facts.fresh) && OF_A_PAGE.has(name));
  for (const [name, value] of Object.entries(facts)) if (!isOurs(name)) stored[name] = value;
  if (!isLoaded || before !== stored.memory) fromNothing(); // else it is known, and being filled again
  isLoaded ||= !ons;
}

/** The browser emptied the disk under this page: what it holds goes there again. */
async function refill(onDisk) {
  stored.disk = onDisk.meta.disk;
  await disk.owed(again(onDisk, { things: [...things.values()], rows: rows(), facts: stored }));
  return reread();
}

/** An act of this phone: on the disk first; what the disk does not take is held here, see `onlyHere`. */
export const keep = (act) => keepAll([act]);

/** Acts kept all or none; those taken from another phone are marked, so that our clock does not move them.  `signs` are
 *  the marks of the phones that made them, by act id.  Why they are not on the disk, or null. */
export async function keepAll(acts, marks, signs = {}) {
  const signed = ({ id }) => (signs[id] ? { mark: signs[id] } : {});
  const moment = { ahead: clock.jumped(), corrected: clock.correction() };
  const rows = acts.map((act) => ({ n: ++last, act, tried: false, ...moment, ...marks, ...signed(act) }));
  const why = await disk.owed(rows.map((row) => ["put", "outbox", row]));
  rows.forEach(take);
  const left = acts.filter(({ id }) => db.owes("outbox", id));
  for (const { id } of left) loose.add(id);
  return left.length ? why : null;
}

/** Acts that only this page holds: neither the disk nor the server has them. */
export function onlyHere() {
  for (const id of loose) if (!outbox.has(id) || !db.owes("outbox", id)) loose.delete(id);
  return [...loose].map((id) => outbox.get(id)).filter((row) => !row.seq);
}
export const isLoose = (actId) => onlyHere().some((row) => row.act.id === actId);

/** What the disk did not take, or did not give when this page began, is tried again; once it was closed under this page
 *  it is looked at, since it may have been emptied.  Called at each tick. */
export async function settle() {
  const before = db.closings();
  const isToRead = !isLoaded || before > closings;
  const isRead = isToRead && (await reread(isLoaded ? [] : null).catch(() => "not yet")) !== "not yet";
  if (isRead) closings = before;
  await disk.settle();
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

/** Rows of the outbox: {n, act, tried, seq, why}. */
export const rows = () => [...outbox.values()];
export const rowOf = (actId) => outbox.get(actId);
/** Every act, and every thing, that the server has told of. */
export const heardActs = () => [...things.values()].flatMap((thing) => thing.acts);
export const heardThings = () => [...things.keys()];
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
  await disk.owed(rows.map((row) => ["put", "outbox", row]));
}

/** Things of which the server knows nothing any more. */
export async function dropThings(ons) {
  await db.write(ons.map((on) => ["delete", "kept", on]));
  for (const on of ons) {
    things.delete(on);
    forget(on);
  }
}

export async function throwAway(actId) {
  letGo(outbox.get(actId).act);
  await disk.owed([["delete", "outbox", actId]]);
}

/** The server's word: fragments, verdicts, the new cursor; our acts in it leave the outbox.  Nothing older comes over
 *  what is newer, unless the numbers begin anew: another shop, or one that was put back.  The things changed. */
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
  for (const { act } of [...outbox.values()].filter((row) => isHeard(row, extra.recount ?? []))) {
    letGo(act);
    changes.push(["delete", "outbox", act.id]);
  }
  const reached = anew ? cursor : Math.max(cursor, stored.cursor || 0);
  const about = reached === cursor ? { cursorAct } : {}; // an older answer says nothing of the act there
  Object.assign(stored, extra, about, { cursor: reached });
  const at = Object.entries({ ...about, cursor: reached }).map(([name, value]) => ({ name, value, seq: reached }));
  changes.push(...facts(extra), ...at.map((row) => [put, "meta", row])); // the two go together, beside other pages too
  await disk.owed(changes);
  return fresh.map((row) => row.on);
}

/** All is told up to a cursor: own acts with a number that were not are posted again, the server was put back. */
export const postAgain = (cursor) => mark(numbered(cursor), { seq: null });
const numbered = (upTo) => rows().filter(({ seq }) => seq && seq <= upTo);

/** Whether an act is in the fragment of its thing: only then may it leave the outbox, or the card would fall back.  Of
 *  the air an old reading can be heard and no longer needed, unless the air itself is still to be told anew. */
const isHeard = ({ seq, act: { on, id } }, recount) =>
  seq &&
  (things.get(on)?.acts.some((one) => one.id === id) ||
    (on === "air" && things.get("air")?.seq >= seq && !recount.includes("air")));

/** The phone has another number: its own taps, which no server ever kept, name it by that one; `values` go with
 *  them. */
export async function renumber(phone, values) {
  const old = stored.phone;
  const all = rows();
  for (const row of all) row.act = JSON.parse(JSON.stringify(row.act).replaceAll(old, phone));
  Object.assign(stored, values, { phone });
  await db.write([...all.map((row) => ["put", "outbox", row]), ...facts({ ...values, phone })]);
}

/** All that stands on this phone goes, in one write, for these facts and rows of the outbox; the page has to begin
 *  anew after it.  `makeRows` is called when `values`, and `now` over them, are this phone's already. */
export async function beginAgain(values, makeRows, now = values) {
  Object.assign(stored, now);
  const fresh = makeRows().map((row) => ["put", "outbox", row]);
  const clear = ["outbox", "kept", "meta"].map((name) => ["clear", name]);
  await db.write([...clear, ...facts(values), ...fresh]);
}

/** All that the server told of goes, and what is known of it, in one write; the outbox stays.  The page has to begin
 *  anew after it. */
export const forgetHeard = (values) => db.write([["clear", "kept"], ["clear", "meta"], ...facts(values)]);

/** Facts about this phone that outlive the page. */
export async function remember(values) {
  Object.assign(stored, values);
  const why = await db.owe(facts(values));
  if (why) throw why;
}
/** Facts that may be lost: a full disk is said when a tap meets it. */
export const note = (values) => remember(values).catch(() => {});

export const actsOf = (on) => [...(things.get(on)?.acts || []), ...ownActs(on)];
/** A number that only grows with the acts on a thing, whether they are still needed or not. */
export const reach = (on) => (things.get(on)?.seq || 0) + ownActs(on).length;
export const isOwn = (actId) => outbox.has(actId);
/** The phone that told an act of another maker without that one's mark; undefined where the maker is sure. */
export const toldBy = (on, actId) => things.get(on)?.told_by?.[actId];
/** The server's last word on a thing: {seq, acts, seqs, state}. */
export const heardOf = (on) => things.get(on);

export const names = (kind) => {
  const all = new Set([...things.keys(), ...[...outbox.values()].filter((row) => !row.why).map((row) => row.act.on)]);
  return [...all].filter((on) => on.startsWith(`${kind}:`));
};

export const ownActs = (on) =>
  [...outbox.values()].filter((row) => row.act.on === on && !row.why).map((row) => row.act);

const facts = (values) => Object.entries(values).map(([name, value]) => ["put", "meta", { name, value }]);

function letGo({ id, on }) {
  outbox.delete(id);
  forget(on);
}

function take(row) {
  last = Math.max(last, row.n);
  outbox.set(row.act.id, row);
  forget(row.act.on);
}
