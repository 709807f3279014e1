// Time that is driven: what is due happens in its order, each event with all that follows from it at once.

/** Chance from a seed (mulberry32): the same schedule every time. */
export class Chance {
  constructor(seed) {
    this.state = (seed * 2654435761) >>> 0;
    for (let n = 0; n < 4; n += 1) this.next();
  }

  next() {
    this.state = (this.state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(this.state ^ (this.state >>> 15), this.state | 1);
    mixed ^= mixed + Math.imul(mixed ^ (mixed >>> 7), mixed | 61);
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  }

  is = (share) => this.next() < share;
  between = (low, high) => low + this.next() * (high - low);
  whole = (low, high) => Math.floor(this.between(low, high + 1));
  one = (of) => of[Math.floor(this.next() * of.length)];

  /** One of the keys, as often as its weight says. */
  weighted(weights) {
    let left = this.next() * Object.values(weights).reduce((sum, one) => sum + one, 0);
    for (const [key, weight] of Object.entries(weights)) if ((left -= weight) < 0) return key;
    return Object.keys(weights).at(-1);
  }
}

// A task of the host's own after all promises that stand: node has one, a page makes one of a channel.
const macrotask = globalThis.setImmediate ?? channelTask();

function channelTask() {
  const { port1, port2 } = new MessageChannel();
  const waiting = [];
  port1.onmessage = () => waiting.shift()();
  return (go) => {
    waiting.push(go);
    port2.postMessage(0);
  };
}

const settled = () => new Promise((go) => macrotask(go));

const MOST_EVENTS = 25_000; // of a schedule: 1,300 is usual

export class Loop {
  heap = [];
  order = 0;
  events = 0;

  constructor(startMs) {
    this.now = startMs;
  }

  /** `work` in so many ms; it may be told off by what this returns. */
  after(ms, work) {
    return this.at(this.now + Math.max(0, ms), work);
  }

  at(moment, work) {
    const event = { moment, order: (this.order += 1), work };
    this.heap.push(event);
    let child = this.heap.length - 1;
    while (child > 0) {
      const parent = (child - 1) >> 1;
      if (!before(this.heap[child], this.heap[parent])) break;
      this.swap(child, parent);
      child = parent;
    }
    return event;
  }

  /** All that is due up to a moment, or until `done` says so. */
  async run(until, done = () => false) {
    await settled();
    while (this.heap.length && this.heap[0].moment <= until && !done()) {
      const event = this.pop();
      if (!event.work) continue;
      this.now = Math.max(this.now, event.moment);
      this.events += 1;
      if (this.events > MOST_EVENTS) throw new Error("something goes round for ever");
      if (event.work() !== IDLE) await settled();
    }
    if (!done()) this.now = Math.max(this.now, until);
  }

  pop() {
    const top = this.heap[0];
    const last = this.heap.pop();
    if (this.heap.length) {
      this.heap[0] = last;
      this.sink();
    }
    return top;
  }

  sink() {
    for (let parent = 0, child = 1; child < this.heap.length; parent = child, child = 2 * parent + 1) {
      if (child + 1 < this.heap.length && before(this.heap[child + 1], this.heap[child])) child += 1;
      if (!before(this.heap[child], this.heap[parent])) return;
      this.swap(child, parent);
    }
  }

  swap(one, two) {
    [this.heap[one], this.heap[two]] = [this.heap[two], this.heap[one]];
  }
}

/** An event from which nothing follows. */
export const IDLE = Symbol("idle");

const before = (one, two) => (one.moment - two.moment || one.order - two.order) < 0;
