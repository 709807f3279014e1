// The phone's own memory: IndexedDB, opened again when the browser closes it under us.
//   outbox  acts the server has not folded yet, in the order they were made   key: n
//   kept    the server's last word on each thing                              key: on
//   meta    cursor, clock offset, who we are                                  key: name
const NAME = "sandtime";
const STORES = { outbox: { keyPath: "n" }, kept: { keyPath: "on" }, meta: { keyPath: "name" } };
let opened = null;

/** All that the phone holds. */
export function everything() {
  return withStores("readonly", async (store) => {
    const [outbox, kept, meta] = await Promise.all(Object.keys(STORES).map((name) => asked(store(name).getAll())));
    return { outbox, kept, meta: Object.fromEntries(meta.map((row) => [row.name, row.value])) };
  });
}

/** Writes in one transaction, on the disk before it resolves: [["put", store, row] | ["delete", store, key], ...] */
export const write = (changes) =>
  withStores("readwrite", (store) => {
    for (const [verb, name, what] of changes) store(name)[verb](what);
  });

export const setMeta = (values) => write(Object.entries(values).map(([name, value]) => ["put", "meta", { name, value }]));

/** For tests and for a browser that closes the database in the background: drop the handle, the next call reopens. */
export const drop = async () => {
  (await opened)?.close();
};

/** What the phone holds, asked for as soon as this script arrives: it is on its way while the page is still being read. */
export const early = everything();
early.catch(() => {});

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
    deal.oncomplete = () => resolve(answer);
    deal.onabort = () => reject(deal.error || new DOMException("aborted", "AbortError"));
    Promise.resolve(work((name) => deal.objectStore(name))).then(
      (given) => (answer = given),
      () => {
        try {
          deal.abort();
        } catch {
          reject(deal.error);
        }
      },
    );
  });
}

function open() {
  opened ||= new Promise((resolve, reject) => {
    const request = indexedDB.open(NAME, 1);
    request.onupgradeneeded = () => {
      for (const [name, options] of Object.entries(STORES)) request.result.createObjectStore(name, options);
    };
    request.onsuccess = () => {
      request.result.onclose = request.result.onversionchange = () => {
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

const asked = (request) =>
  new Promise((resolve, reject) => {
    request.onsuccess = () => resolve(request.result);
    request.onerror = () => reject(request.error);
  });
