// One page of a phone: the product's own modules, with powers of the browser that are driven from here.  A page may die
// at any use of one of them; from then on nothing that it does is felt outside.
import { page as begin } from "./client.js";
import { factory } from "./disk.js";
import { Element, Htmx } from "./elements.js";
import { IDLE } from "./loop.js";

const NEVER = new Promise(() => {});
const RealDate = Date;
const RealMath = Object.getOwnPropertyDescriptors(Math);

export class Page {
  dead = false;
  fuse = Infinity; // uses of powers that are left to it
  timers = new Map();
  number = 0;
  listeners = {};
  streams = new Set();
  locked = [];

  constructor(phone) {
    Object.assign(this, { phone, world: phone.world, loop: phone.world.loop, bornAt: phone.world.loop.now });
    this.perfLost = 0; // ms that performance.now() did not count: the phone slept
    this.visible = true;
    this.body = new Element();
    this.elements = { sync: new Element(), landing: new Element(), air: new Element(), signal: new Element() };
    this.htmx = new Htmx(this, this.elements);
    this.channel = null;
    this.modules = begin(this.powers(), this.shades(), (name, lots) => this.arrive(name, lots));
    this.modules.$data_events.listen("safe", () => (this.said = "safe"));
  }

  /** Whether taps may be made: the connection's scripts have begun. */
  get isUp() {
    return !this.dead && this.body.dataset.ready === "yes" && Boolean(this.channel?.onmessage);
  }

  get phoneNow() {
    return this.loop.now + this.phone.skewMs;
  }

  /** A use of a power: the one at which the page dies may be this one. */
  uses() {
    if (!this.dead && (this.fuse -= 1) < 0) this.phone.kill(this);
  }

  /** Something that comes to this page later, if it still lives, and once its phone is awake. */
  later(ms, work) {
    const come = () => {
      if (this.dead) return IDLE;
      if (this.phone.sleepsUntil > this.loop.now) return void this.loop.at(this.phone.sleepsUntil, come);
      return work();
    };
    return this.dead ? { work: null } : this.loop.after(ms, come);
  }

  /** A script that is loaded late: with no signal it may not come. */
  arrive(name, lots) {
    this.uses();
    if (this.dead) return NEVER;
    const fails = name !== "online" && this.world.chance.is(this.phone.road.scriptsFail);
    return new Promise((go, no) => {
      this.later(this.world.chance.between(1, 40), () => (fails ? no(new TypeError("no script")) : go(lots())));
    });
  }

  fire(name, event = {}) {
    for (const listener of [...(this.listeners[name] ?? [])]) listener(event);
  }

  look(visible) {
    if (this.visible === visible) return;
    this.visible = visible;
    this.fire("visibilitychange");
  }

  die() {
    this.dead = true;
    for (const timer of this.timers.values()) timer.work = null;
    for (const stream of this.streams) stream.close();
    for (const free of this.locked.splice(0)) free();
  }

  powers() {
    const own = {
      Date: this.dateClass(),
      Math: this.math(),
      performance: { now: () => this.loop.now - this.bornAt - this.perfLost, mark() {} },
      setTimeout: (work, ms = 0, ...given) => this.timer(() => work(...given), ms),
      setInterval: (work, ms) => this.interval(work, ms),
      requestAnimationFrame: (work) => this.timer(work, 16),
      indexedDB: factory(this.phone.disk, this),
      navigator: this.navigator(),
      document: this.document(),
      location: { hash: "", reload: () => this.phone.reload(this) },
      innerWidth: 360,
      innerHeight: 740,
      ...this.listening(),
      BroadcastChannel: this.channelClass(),
      EventSource: this.streamClass(),
      fetch: (path, how) => this.world.network.fetch(this, path, how),
      crypto: { getRandomValues: (bytes) => bytes.map(() => this.world.chance.whole(0, 255)) },
    };
    own.clearTimeout = own.clearInterval = (number) => {
      const timer = this.timers.get(number);
      if (timer) timer.work = null;
      this.timers.delete(number);
    };
    own.globalThis = own.window = own.self = own;
    own.htmx = {};
    return own;
  }

  listening() {
    return {
      addEventListener: (name, listener) => (this.listeners[name] ??= []).push(listener),
      removeEventListener: (name, listener) => {
        this.listeners[name] = (this.listeners[name] ?? []).filter((one) => one !== listener);
      },
    };
  }

  timer(work, ms) {
    const number = (this.number += 1);
    const due = () => {
      this.timers.delete(number);
      work();
    };
    this.timers.set(number, this.later(ms, due));
    return number;
  }

  interval(work, ms) {
    const number = (this.number += 1);
    const turn = () => {
      this.timers.set(number, this.later(ms, turn));
      work();
    };
    this.timers.set(number, this.later(ms, turn));
    return number;
  }

  dateClass() {
    const page = this;
    return class extends RealDate {
      constructor(...given) {
        super(...(given.length ? given : [page.phoneNow]));
      }

      static now = () => Math.floor(page.phoneNow);
    };
  }

  math() {
    const math = Object.defineProperties({}, RealMath);
    math.random = () => this.world.chance.next();
    return math;
  }

  navigator() {
    const page = this;
    return {
      get onLine() {
        return page.phone.road.isOnLine;
      },
      locks: { request: (name, how, work) => this.phone.lock(this, how, work) },
    };
  }

  document() {
    const page = this;
    const { landing } = this.elements;
    const found = { phrases: () => null, cursor: () => landing.cursor, verdicts: () => landing.verdicts };
    found.notes = () => landing.notes;
    return {
      body: this.body,
      readyState: "complete",
      get visibilityState() {
        return page.visible ? "visible" : "hidden";
      },
      getElementById: (id) => (found[id] ? found[id]() : (this.elements[id] ??= new Element())),
      querySelector: () => new Element(),
      createElement: () => new Element(),
      head: { append: (script) => this.later(1, () => script.onload?.()) },
      ...this.listening(),
    };
  }

  channelClass() {
    const page = this;
    return class {
      constructor() {
        page.channel = this;
      }

      postMessage(data) {
        page.uses();
        if (!page.dead) page.phone.tell(page, data);
      }
    };
  }

  streamClass() {
    const page = this;
    return class {
      listeners = {};

      constructor() {
        page.uses();
        if (!page.dead) page.world.network.open(page, this);
      }

      addEventListener(name, listener) {
        this.listeners[name] = listener;
      }

      close() {
        page.streams.delete(this);
        this.isClosed = true;
      }
    };
  }

  /** In the place of the modules that paint and speak; what is said of a tap is remembered. */
  shades() {
    const quiet = () => {};
    const screens = { paintFloor: quiet, paintOne: quiet, swapIn: quiet, paint: quiet };
    const actions = { start: quiet, watch: quiet, heard: quiet, left: quiet, wait: quiet, paintScreen: quiet };
    const said = new Proxy({}, { get: (_, name) => (name === "then" ? undefined : quiet) });
    return new Proxy(
      {
        "screens/floor.js": screens,
        "screens/meanwhile.js": screens,
        "screens/signal.js": { words: () => "", mark: () => "" },
        "ui/router.js": { open: () => ({ name: "floor" }), turn: quiet },
        "app/actions.js": actions,
        "ui/describe.js": { words: () => "" },
        "ui/export_taps.js": { sayLoose: () => (this.said = "only here") },
      },
      { get: (own, name) => own[name] ?? said },
    );
  }
}
