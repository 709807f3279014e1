// The shelf as a table: taken out as a file, and brought in again after a look at what would change.
import { record } from "../ui/record.js";
import { born, productMoved, sheetWritten, thingId } from "../data/acts.js";
import * as clock from "../data/clock.js";
import { t, tn } from "../core/base/translate.js";
import { LARGEST, differs, fromCsv, fromJson, toCsv, toJson } from "../core/files/table.js";
import { paint as paintWords, paintList, say, set, show } from "../ui/dom.js";
import * as queries from "../data/queries.js";
import { copyOut } from "../device/clipboard.js";
import { download } from "../device/download.js";

const PROPER = /^[0-9a-f]{8}(-[0-9a-f]{4}){3}-[0-9a-f]{12}$/;
const WIDEST = 2 * LARGEST + 2; // a file of two bytes a letter
const WRITTEN = ["new", "changes"];
const FIRST = ["refused", "changes", "new", "same"];
const node = (id) => document.getElementById(id);
let plan = null; // {from, rows, done}: what was read, and what came of it
let painted = null;

export const actions = {
  "table-csv": () => takeOut("csv", toCsv, "text/csv", "\ufeff"), // with the mark by which spreadsheets know UTF-8
  "table-json": () => takeOut("json", toJson, "application/json", ""),
  "table-copy": copyText,
  "table-file": readFile,
  "table-read": () => read(node("table-in").value, ""),
  "table-bring": () => bringIn(),
  "table-leave": leave,
  "table-undo": ({ key }) => takeBack(key),
};

/** The plan is painted when it is another one: what is typed is never touched. */
export function paint() {
  if (painted === plan) return;
  painted = plan;
  show("table-plan", Boolean(plan));
  if (!plan) return;
  const open = plan.rows.filter((row) => WRITTEN.includes(row.kind));
  say("table-head", plan.from ? t("In {file} [[what was read]]", { file: plan.from }) : t("In this table"));
  say("table-told", plan.done ? account(plan.rows) : outlook(plan.rows));
  say(
    "table-undo-words",
    plan.rows.some((row) => row.acts)
      ? t("A product's last change can be undone here, until you leave this table.")
      : "",
  );
  paintList(node("table-rows"), "table-row", plan.rows, paintRow);
  show("table-bring", open.length > 0);
  say("table-bring", tn("Bring in {n} product", "Bring in {n} products", open.length));
  say("table-leave", open.length ? t("Leave it [[do not bring it in]]") : t("Close this table"));
}

function paintRow(row, value) {
  paintWords(row, value);
  set(row, "kind", value.kind);
  row.querySelector("button").hidden = !value.acts;
}

/** How many rows there are of each kind, in words; a place for each count, since languages bend their words by it. */
function counted(rows, words) {
  const some = Object.entries(words).map(([kind, phrase]) => [rows.filter((row) => row.kind === kind).length, phrase]);
  return some
    .filter(([count]) => count)
    .map(([count, phrase]) => phrase(count))
    .join(", ");
}

const REFUSED = (n) => tn("{n} refused [[product]]", "{n} refused [[products]]", n);
const AHEAD = {
  new: (n) => tn("{n} new [[product]]", "{n} new [[products]]", n),
  changes: (n) => tn("{n} changed [[product]]", "{n} changed [[products]]", n),
  same: (n) => tn("{n} same as now [[product]]", "{n} same as now [[products]]", n),
  refused: REFUSED,
};
const BEHIND = {
  brought: (n) => tn("{n} brought in [[product]]", "{n} brought in [[products]]", n),
  back: (n) => tn("{n} undone [[product]]", "{n} undone [[products]]", n),
  new: (n) => tn("{n} not brought in [[product]]", "{n} not brought in [[products]]", n),
  changes: (n) => tn("{n} not changed [[product]]", "{n} not changed [[products]]", n),
  same: (n) => tn("{n} same as before [[product]]", "{n} same as before [[products]]", n),
  refused: REFUSED,
};

const outlook = (rows) => `${counted(rows, AHEAD) || t("No product")}.`;
const account = (rows) => `${counted(rows, BEHIND)}.`;

// --- out ---

function takeOut(kind, write, type, before) {
  const shelf = queries.docs("product").filter((one) => one.away_at === null);
  const text = write(shelf.map((one) => one.doc));
  const name = `sandtime-shelf-${new Date(clock.now()).toISOString().slice(0, 10)}.${kind}`;
  node("table-out").value = text;
  show("table-out-box", true);
  say("table-copy", t("Copy the text"));
  say(
    "table-out-words",
    tn(
      "{n} product taken out as {name}. Look among the phone's downloads.",
      "{n} products taken out as {name}. Look among the phone's downloads.",
      shelf.length,
      { name },
    ),
  );
  download(new Blob([before, text], { type: `${type};charset=utf-8` }), name);
}

async function copyText() {
  say("table-copy", await copyOut(node("table-out")));
}

// --- in ---

async function readFile() {
  const [file] = node("table-file").files;
  if (!file) return;
  const bytes = file.size > WIDEST ? null : await file.arrayBuffer();
  node("table-file").value = ""; // so that the same file can be read again
  if (bytes) read(lettersOf(bytes), file.name);
  else refuse(t("A table may be 2 MB. This one is larger. Nothing was saved."));
}

/** The letters of a file: UTF-8, or UTF-16 as some spreadsheets write it; null where they would have to be guessed. */
function lettersOf(bytes) {
  const [first, second] = new Uint8Array(bytes);
  const wide = { "255 254": "utf-16le", "254 255": "utf-16be" }[`${first} ${second}`];
  try {
    return new TextDecoder(wide || "utf-8", { fatal: true }).decode(bytes);
  } catch {
    return null;
  }
}

function read(text, from) {
  if (text === null)
    return refuse(t("The letters of this file cannot be read. Save it again as UTF-8. Nothing was saved."));
  if (!text.trim()) return refuse(t("There is nothing in it to read. Nothing was saved."));
  const { rows, why } = /^\ufeff?\s*[[{]/.test(text) ? fromJson(text) : fromCsv(text);
  if (why) return refuse(why);
  say("table-why", "");
  plan = { from, rows: planned(rows), done: false };
  paint();
  return node("table-head").focus();
}

function refuse(why) {
  plan = null;
  say("table-why", why);
}

function leave() {
  plan = null;
  say("table-why", "");
}

/** What each row would do to the shelf as this phone sees it now. */
function planned(rows) {
  const shelf = queries.docs("product");
  const matched = new Map(); // the product that a row is about: by its id first, then by its name
  const taken = new Set();
  const match = (row, there) => there && !taken.has(there.on) && taken.add(there.on) && matched.set(row, there);
  const good = rows.filter((row) => row.doc);
  for (const row of good)
    match(
      row,
      shelf.find((one) => one.on === `product:${row.doc.id}`),
    );
  const alike = (row) => shelf.filter((one) => !taken.has(one.on) && one.doc.name.trim() === row.doc.name.trim());
  for (const row of good) {
    if (!matched.has(row)) match(row, alike(row).find((one) => one.away_at === null) || alike(row)[0]);
  }
  const outcomes = rows.map((row) => ({
    key: `${row.row}`,
    place: t("Row {row}", { row: row.row }),
    ...(row.doc ? change(row, matched.get(row)) : refused(row.name, row.why)),
  }));
  return outcomes.sort((one, two) => FIRST.indexOf(one.kind) - FIRST.indexOf(two.kind));
}

const refused = (name, why) => ({
  kind: "refused",
  name: name || t("No name"),
  told: t("Refused [[a row of a table]]"),
  why,
});

function change({ doc: read, name }, there) {
  const on = there?.on || (PROPER.test(read.id) ? `product:${read.id}` : thingId("product"));
  const doc = { ...read, id: on.slice("product:".length) };
  const heads = there ? [there.head, ...(there.rivals || []).map((one) => one.id)].filter(Boolean) : [];
  const row = {
    name,
    on,
    doc,
    over: heads.length || !there ? heads : null,
    away: Boolean(there) && there.away_at !== null,
  };
  try {
    sheetWritten(on, doc, row.over);
  } catch (why) {
    return refused(name, why.message);
  }
  if (!there) return { ...row, kind: "new", told: t("New [[a row of a table]]") };
  const columns = differs(there.doc, doc);
  if (!columns.length && !row.away) return { ...row, kind: "same", told: t("Same as now [[a row of a table]]") };
  const what = [columns.join(", "), row.away ? t("it was put away and comes back [[a product]]") : ""]
    .filter(Boolean)
    .join("; ");
  return {
    ...row,
    kind: "changes",
    told: t("Changes {name}: {what} [[this row does]]", { name: there.doc.name, what }),
  };
}

/** Every new or changed product written, over what the person saw; a writing that came in between stays beside it. */
async function bringIn() {
  try {
    for (const row of plan?.rows.filter(({ kind }) => WRITTEN.includes(kind)) || []) {
      const acts = [sheetWritten(row.on, row.doc, row.over), ...(row.away ? [productMoved(row.on, false)] : [])];
      for (const act of acts) await record(act);
      const outcome =
        row.kind === "new" ? t("Brought in, new [[a row of a table]]") : t("Brought in, changed [[a row of a table]]");
      Object.assign(row, { acts, told: outcome, kind: "brought" });
    }
  } finally {
    plan &&= { ...plan, done: true };
  }
}

async function takeBack(key) {
  const row = plan.rows.find((one) => one.key === key);
  for (const act of row.acts) await record(born(act.on, "undone", { act: act.id }));
  Object.assign(row, { acts: null, kind: "back", told: t("Undone: as it was before [[a row of a table]]") });
  plan = { ...plan };
}
