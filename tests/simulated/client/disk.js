// A phone's IndexedDB: transactions in their order, all or nothing, with the troubles that real ones have.
import { IDLE } from "./loop.js";

const read = (text) => (text === undefined ? undefined : JSON.parse(text)); // rows stand as texts: nobody shares them
const trouble = (name) => new DOMException(`simulated: ${name}`, name);
const keyIn = (row, path) => path.split(".").reduce((at, key) => at?.[key], row);

/** What one phone holds; it outlives its pages. */
export class Disk {
  stores = null; // name -> {keyPath, rows: Map}
  version = 0;
  queue = []; // transactions that wait, the one at work first
  connections = new Set();
  fault = { room: Infinity, abort: 0, open: 0, unsure: 0.5 }; // `room`: rows that a transaction may write

  constructor(loop, chance) {
    Object.assign(this, { loop, chance });
  }

  /** All is as no page ever wrote: the browser needed the room. */
  empty() {
    this.close();
    this.stores = null;
    this.version = 0;
  }

  /** The browser closes every connection in the background. */
  close() {
    for (const deal of [...this.queue]) deal.fail(trouble("AbortError"));
    for (const connection of [...this.connections]) connection.lose();
  }

  /** How many rows of a store are on the disk, for the checks. */
  count(name) {
    return this.stores?.[name]?.rows.size ?? 0;
  }

  next() {
    const [deal] = this.queue;
    if (deal && !deal.runs) {
      deal.runs = true;
      this.loop.after(0.2, () => deal.step());
    }
  }

  over(deal) {
    this.queue = this.queue.filter((one) => one !== deal);
    this.next();
  }
}

/** `indexedDB` of one page. */
export const factory = (disk, page) => ({
  open(name, version) {
    const request = {};
    page.uses();
    page.later(disk.chance.between(0.5, 6), () => opened(disk, page, request, version));
    return request;
  },
});

function opened(disk, page, request, version) {
  if (disk.chance.is(disk.fault.open)) {
    request.error = trouble("UnknownError");
    return request.onerror?.({});
  }
  const fresh = disk.version < version;
  request.result = new Connection(disk, page);
  if (!fresh) return request.onsuccess?.({});
  const oldVersion = disk.version;
  disk.stores ??= {};
  disk.version = version;
  request.transaction = { objectStore: (name) => plain(disk.stores[name]), addEventListener() {} };
  request.onupgradeneeded?.({ oldVersion });
  page.later(0.5, () => request.onsuccess?.({}));
}

const plain = ({ keyPath, rows }) => ({ put: (row) => void rows.set(keyIn(row, keyPath), JSON.stringify(row)) });

class Connection {
  isOpen = true;

  constructor(disk, page) {
    Object.assign(this, { disk, page });
    disk.connections.add(this);
  }

  createObjectStore(name, { keyPath }) {
    this.disk.stores[name] = { keyPath, rows: new Map() };
  }

  close() {
    this.isOpen = false;
    this.disk.connections.delete(this);
  }

  lose() {
    this.close();
    if (!this.page.dead) this.page.later(0, () => this.onclose?.({}));
  }

  transaction(names, mode) {
    if (!this.isOpen || !this.disk.stores) throw trouble("InvalidStateError");
    this.page.uses();
    return new Deal(this.disk, this.page, mode);
  }
}

/** One transaction.  It commits by itself once nothing is asked of it any more. */
class Deal {
  asked = [];
  undo = [];
  puts = 0;
  runs = false;
  isOver = false;
  readsAll = false; // all that the server told of

  constructor(disk, page, mode) {
    Object.assign(this, { disk, page, mode, error: null });
    if (page.dead) this.isOver = true;
    else {
      disk.queue.push(this);
      disk.next();
    }
  }

  objectStore(name) {
    const ask = (work) => this.ask(() => work(this.disk.stores[name]));
    return {
      get: (key) => ask(({ rows }) => read(rows.get(key))),
      getAll: () => {
        this.readsAll ||= name === "kept";
        return ask(({ rows }) => [...rows.values()].map(read));
      },
      put: (row) => {
        const text = JSON.stringify(row);
        return ask((store) => this.set(store, keyIn(row, store.keyPath), text));
      },
      delete: (key) => ask((store) => this.set(store, key, undefined)),
      clear: () => ask((store) => [...store.rows.keys()].forEach((key) => this.set(store, key, undefined))),
    };
  }

  ask(work) {
    if (this.isOver && !this.page.dead) throw trouble("TransactionInactiveError");
    this.page.uses();
    const request = { work };
    this.asked.push(request);
    return request;
  }

  set({ rows }, key, row) {
    const had = rows.get(key);
    this.undo.push(() => (had === undefined ? rows.delete(key) : rows.set(key, had)));
    if (row === undefined) rows.delete(key);
    else rows.set(key, row);
    if (row !== undefined) this.puts += 1;
  }

  /** What was asked so far, answered; with nothing asked, the end. */
  step() {
    if (this.isOver) return IDLE;
    if (!this.asked.length || this.page.dead) return this.end();
    for (const request of this.asked.splice(0)) {
      request.result = request.work();
      if (!this.page.dead) request.onsuccess?.({ target: request });
    }
    this.disk.loop.after(0.3, () => this.step());
  }

  end() {
    const { fault, chance } = this.disk;
    // a page that dies while all is handed over: nobody knows whether the disk has it
    if (this.page.dead && (this.asked.length || chance.is(fault.unsure))) return this.fail(trouble("AbortError"));
    if (this.puts > fault.room) return this.fail(trouble("QuotaExceededError"));
    if (chance.is(fault.abort)) return this.fail(trouble("UnknownError"));
    this.isOver = true;
    this.page.hasRead ||= this.readsAll;
    this.disk.loop.after(chance.between(0.2, 8), () => {
      this.disk.over(this);
      return this.page.dead ? IDLE : this.oncomplete?.({});
    });
  }

  abort() {
    if (this.isOver) throw trouble("InvalidStateError");
    this.fail(null);
  }

  fail(why) {
    if (this.isOver) return;
    this.isOver = true;
    this.error = why;
    for (const back of this.undo.reverse()) back();
    this.disk.over(this);
    if (!this.page.dead) this.page.later(0, () => this.onabort?.({}));
  }
}
