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
export async function keep(act, tried = false) {
  const row = { n: ++last, act, tried, ahead: clock.jumped() };
  let full = null;
  await store.write([["put", "outbox", row]]).catch((why) => (full = why));
  take(row);
  return full;
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

/** Whether an act is in the fragment of its thing: only then may it leave the outbox, or the card would fall back. */
const isHeard = ({ seq, act }) => seq && things.get(act.on)?.acts.some((one) => one.id === act.id);

/** Facts about this phone that outlive the page. */
export async function remember(values) {
  Object.assign(meta, values);
  await store.setMeta(values);
}

/** A thing as this phone shows it. */
export function view(on) {
  if (!views.has(on)) views.set(on, folded(on));
  return views.get(on);
}

export const actsOf = (on) => [...(things.get(on)?.acts || []), ...ownActs(on)];
export const isOwn = (actId) => outbox.has(actId);

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
/** The units the shop reads and types in: {temp: "c" | "f", volume: "ml" | "floz", weight: "g" | "oz", film: "um" | "mil"}. */
export const units = () => view("shop").units;
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
