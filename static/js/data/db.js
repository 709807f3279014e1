// The phone's own memory: IndexedDB, opened again when the browser closes it under us.
//   outbox  acts the server has not folded yet; n and then the id give the order they were made in   key: the act's id
//   kept    the server's last word on each thing                                                     key: on
//   meta    cursor, clock offset, who we are                                                         key: name
const NAME = "sandtime";
const VERSION = 2; // version 1 had the outbox by n, which each page counts for itself: two pages wrote over each other
const STORES = { outbox: { keyPath: "act.id" }, kept: { keyPath: "on" }, meta: { keyPath: "name" } };
const PATIENCE_MS = 5_000;
const owed = new Map(); // "store key" -> the change that the disk has yet to take, the last one of each row
let [opened, closed] = [null, 0];

/** All that the phone holds. */
export const everything = () => some(null);

/** The outbox, the facts, and the server's last word on these things, or on all where none are named. */
export function some(ons) {
  return withStores("readonly", async (store) => {
    const words = ons ? Promise.all(ons.map((on) => asked(store("kept").get(on)))) : asked(store("kept").getAll());
    const [outbox, kept, meta] = await Promise.all([
      asked(store("outbox").getAll()),
      words,
      asked(store("meta").getAll()),
    ]);
    return { outbox, kept: kept.filter(Boolean), meta: Object.fromEntries(meta.map((row) => [row.name, row.value])) };
  });
}

/** Writes in one transaction, on the disk before it resolves, or nothing of it:
 *  [["put", store, row] | ["newer", store, row] | ["delete", store, key] | ["clear", store], ...] */
export const write = (changes) => taken([...owed, ...changes.map((change) => [keyOf(change), change])]);

/** What must come to the disk sooner or later: all of it now, else the taps of it, else at a later `settle`.  Why some
 *  of it is not there yet, or null. */
export function owe(changes) {
  for (const change of changes) owed.set(keyOf(change), change);
  return settle();
}

export async function settle() {
  const all = [...owed];
  if (!all.length) return null;
  const why = await taken(all).catch((trouble) => trouble);
  const taps = all.filter(([, [verb, name]]) => verb === "put" && name === "outbox");
  if (why && taps.length < all.length) await taken(taps).catch(() => {});
  return why ?? null;
}

/** Whether a row, or any, is not on the disk yet as this page has it. */
export const owes = (name, key) => (name ? owed.has(`${name} ${key}`) : owed.size > 0);

/** How often the browser closed the disk under this page: it may have been emptied. */
export const closings = () => closed;

/** For tests and for a browser that closes the database in the background: drop the handle, the next call reopens. */
export const drop = async () => {
  (await opened)?.close();
};

/** What the phone holds, asked for as soon as this script arrives: it is on its way while the page is still being
 *  read. */
export const early = everything();
early.catch(() => {});

const keyOf = ([verb, name, what]) =>
  `${name} ${typeof what === "object" ? (what.act?.id ?? what.on ?? what.name) : (what ?? verb)}`;

async function taken(entries) {
  if (entries.length)
    await withStores("readwrite", (store) =>
      Promise.all(
        entries.map(async ([, [verb, name, what]]) =>
          verb === "newer" ? newer(store(name), what) : store(name)[verb](what),
        ),
      ),
    );
  for (const [key, change] of entries) if (owed.get(key) === change) owed.delete(key);
}

/** A row, unless the one on the disk is newer: another page may have heard more meanwhile. */
async function newer(rows, row) {
  const rank = (one) => one?.seq ?? one?.value;
  if (!(rank(await asked(rows.get(row.on ?? row.name))) > rank(row))) rows.put(row);
}

async function withStores(mode, work) {
  try {
    return await transact(await open(), mode, work);
  } catch (why) {
    if (why.name === "QuotaExceededError") throw why;
    opened = null;
    return transact(await open(), mode, work);
  }
}

function transact(db, mode, work) {
  return new Promise((resolve, reject) => {
    const deal = db.transaction(Object.keys(STORES), mode, { durability: "strict" });
    let answer;
    let trouble = null;
    deal.oncomplete = () => resolve(answer);
    deal.onabort = () => reject(deal.error || trouble || new DOMException("aborted", "AbortError"));
    (async () => work((name) => deal.objectStore(name)))().then(
      (given) => (answer = given),
      (why) => {
        trouble = why;
        try {
          deal.abort();
        } catch {
          reject(deal.error || why);
        }
      },
    );
  });
}

function open() {
  opened ||= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, VERSION);
    request.onupgradeneeded = ({ oldVersion }) => upgrade(request, oldVersion);
    request.onblocked = () => {
      beginAnew();
      setTimeout(reject, PATIENCE_MS, new DOMException("blocked by a page of an older version", "TimeoutError"));
    };
    request.onsuccess = () => {
      request.result.onclose = request.result.onversionchange = () => {
        closed += 1;
        request.result.close();
        opened = null;
      };
      resolve(request.result);
    };
    request.onerror = () => reject(request.error);
  });
  opened.catch(() => (opened = null));
  return opened;
}

function upgrade({ result: db, transaction }, from) {
  if (!from) {
    for (const [name, how] of Object.entries(STORES)) db.createObjectStore(name, how);
    const facts = { fresh: true, disk: Date.now() }; // until all has been heard, see shop.load; which disk this is
    for (const [name, value] of Object.entries(facts)) transaction.objectStore("meta").put({ name, value });
    return;
  }
  const old = transaction.objectStore("outbox").getAll();
  old.onsuccess = () => {
    db.deleteObjectStore("outbox");
    const rows = db.createObjectStore("outbox", STORES.outbox);
    for (const row of old.result) rows.put(row);
    transaction.addEventListener("complete", beginAnew);
  };
}

/** Pages that still run an older script can write no more: they are told to load anew, in the word that they know. */
const beginAnew = () => "BroadcastChannel" in globalThis && new BroadcastChannel(NAME).postMessage("left");

const asked = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
