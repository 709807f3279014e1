// What this phone knows: the server's last word on each thing, and this phone's own acts laid on top.
import * as clock from "./clock.js";
import * as air from "./core/air.js";
import * as cup from "./core/cup.js";
import * as film from "./core/film.js";
import * as house from "./core/house.js";
import * as panel from "./core/panel.js";
import * as shelf from "./core/shelf.js";
import * as store from "./store.js";

const FOLDS = { panel: panel.fold, cup: cup.fold, air: air.fold, product: shelf.fold, route: shelf.fold, shop: house.fold };
export const things = new Map(); // on -> {seq, acts, state}
const views = new Map(); // on -> folded with our own acts
const timed = new Map(); // on -> times, for a view and a trace
export const outbox = new Map(); // act id -> {n, act, tried, seq, why}
export const meta = {};
let last = 0;
let steps = null;

export async function load(reading = store.everything()) {
  const found = await reading;
  for (const row of found.kept) things.set(row.on, row);
  for (const row of found.outbox) take(row);
  Object.assign(meta, found.meta);
  return found;
}

/** An act of this phone: on the disk first; when the disk is full it is held here, and the caller says so. */
export const keep = (act) => keepAll([act]);

/** Acts kept all or none; those taken from another phone are marked, so that our clock does not move them.  `signs` are
 *  the marks of the phones that made them, by act id. */
export async function keepAll(acts, marks, signs = {}) {
  const signed = ({ id }) => (signs[id] ? { mark: signs[id] } : {});
  const rows = acts.map((act) => ({ n: ++last, act, tried: false, ahead: clock.jumped(), ...marks, ...signed(act) }));
  let full = null;
  await store.write(rows.map((row) => ["put", "outbox", row])).catch((why) => (full = why));
  rows.forEach(take);
  return full;
}

/** What `tell` says while acts that this phone does not know are laid on top; nothing of them stays. */
export function supposing(acts, tell) {
  for (const act of acts) take({ n: 0, act });
  try {
    return tell();
  } finally {
    for (const { id, on } of acts) {
      outbox.delete(id);
      forget(on);
    }
  }
}

/** Acts still to be posted, oldest first. */
export const unsent = () => [...outbox.values()].filter((row) => !row.seq && !row.why);
export const refused = () => [...outbox.values()].filter((row) => row.why);

/** Change rows of the outbox: marks, a corrected moment. */
export async function mark(rows, change) {
  for (const row of rows) {
    Object.assign(row, typeof change === "function" ? change(row) : change);
    forget(row.act.on);
  }
  await store.write(rows.map((row) => ["put", "outbox", row]));
}

export async function throwAway(actId) {
  const row = outbox.get(actId);
  outbox.delete(actId);
  forget(row.act.on);
  await store.write([["delete", "outbox", row.n]]);
}

/** The server's word: fragments, verdicts, the new cursor; our acts that are in it leave the outbox with it. */
export async function hear({ fragments, verdicts, cursor, extra }) {
  const changes = fragments.map((row) => ["put", "kept", row]);
  for (const row of fragments) {
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
  for (const row of [...outbox.values()].filter(isHeard)) {
    outbox.delete(row.act.id);
    changes.push(["delete", "outbox", row.n]);
  }
  Object.assign(meta, extra, { cursor });
  for (const [name, value] of Object.entries({ ...extra, cursor })) changes.push(["put", "meta", { name, value }]);
  await store.write(changes);
}

/** Whether an act is in the fragment of its thing: only then may it leave the outbox, or the card would fall back.  Of
 *  the air an old reading can be heard and no longer needed. */
const isHeard = ({ seq, act }) => seq && (things.get(act.on)?.acts.some((one) => one.id === act.id) || (act.on === "air" && things.get("air")?.seq >= seq));

/** Facts about this phone that outlive the page. */
export async function remember(values) {
  Object.assign(meta, values);
  await store.setMeta(values);
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
/** The phone that told an act which names another as its maker, without that one's mark; undefined where the maker is sure. */
export const toldBy = (on, actId) => things.get(on)?.told_by?.[actId];
/** The server's last word on a thing: {seq, acts, seqs, state}. */
export const heardOf = (on) => things.get(on);

export function onFloor() {
  return names("panel").filter((on) => view(on).added_at !== null && view(on).away_at === null);
}

/** Cups mixed and not emptied, the newest last. */
export function cups() {
  const all = names("cup").filter((on) => cup.stands(view(on)));
  return all.sort((one, two) => view(one).mixed_at - view(two).mixed_at || (one < two ? -1 : 1));
}

export function putAway() {
  return names("panel").filter((on) => view(on).added_at !== null && view(on).away_at !== null);
}

/** The newest acts on panels, cups, air, products and routes, for the book. */
export function bookActs(most) {
  const all = [...things.values()].flatMap((thing) => thing.acts);
  const own = [...outbox.values()].filter((row) => !row.why).map((row) => row.act);
  const once = new Map([...all, ...own].map((act) => [act.id, act]));
  const written = (act) => act.over || !/^(sheet|route)_written$/.test(act.kind); // not the shelf a shop starts with
  return [...once.values()].filter(written).sort((one, two) => two.at - one.at).slice(0, most);
}

/** Written products or routes: [{on, doc, away_at}], by name. */
export function docs(kind) {
  const all = names(kind).map((on) => ({ on, ...view(on) }));
  return all.filter((one) => one.doc).sort((one, two) => one.doc.name.localeCompare(two.doc.name));
}

export const airState = () => view("air");
/** The units the shop reads and types in: {temp: "c" | "f", volume: "ml" | "floz", weight: "g" | "oz", film: "um" | "mil", hours: "24" | "12"}. */
export const units = () => view("shop").units;
/** How a moment becomes the time on the shop's wall: minutes east of UTC, and the hours that its clocks show. */
export const zone = () => Object.assign(clock.zoneFor(meta), { hours: units().hours });
/** The phones that were given a name, and what a phone's person is called in a sentence. */
export const phones = () => view("shop").phones ?? {};
export const called = (phone) => house.called(phones(), phone, meta.phone);
export const trace = () => (steps ||= air.trace(airState()));

/** The temperatures that a thing has felt: the shop's, under a panel's own surface. */
export const felt = (on) => (on.startsWith("panel:") ? film.felt(view(on), airState(), trace()) : trace());

export function times(on) {
  if (!timed.has(on)) timed.set(on, (on.startsWith("cup:") ? cup : film).times(view(on), felt(on)));
  return timed.get(on);
}

const names = (kind) => {
  const all = new Set([...things.keys(), ...[...outbox.values()].filter((row) => !row.why).map((row) => row.act.on)]);
  return [...all].filter((on) => on.startsWith(`${kind}:`));
};

const ownActs = (on) => [...outbox.values()].filter((row) => row.act.on === on && !row.why).map((row) => row.act);

function folded(on) {
  const own = ownActs(on);
  const thing = things.get(on);
  return own.length || !thing ? FOLDS[on.split(":")[0]]([...(thing?.acts || []), ...own]) : thing.state;
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
