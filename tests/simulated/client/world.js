// One schedule: the phones of a shop, their troubles and what people tap, all from one seed; then all is well again, and
// nothing may be lost and nobody may show anything else than the log says.
import { Server } from "./server.js";
import { Chance, Loop } from "./loop.js";
import { check, knows, rests } from "./checks.js";
import { commonStart, tap } from "./taps.js";
import { GOOD, Network } from "./network.js";
import { Phone } from "./phone.js";

const START_MS = 1_800_000_000_000;
const HOUR_MS = 3_600_000;
const WRONG_MS = 20 * HOUR_MS; // twice that is less than two days: a tap further ahead is refused, and stays on its phone
const LONGEST_MS = 30 * 60_000; // in which all phones come to rest once all is well
const TROUBLES = { roads: 0.8, kills: 0.7, disks: 0.4, tabs: 0.4, clocks: 0.4, sleeps: 0.3, server: 0.4, backups: 0.3 };
const BAD = { lost: 3, "answer lost": 4, repeated: 3, late: 3, slow: 1, broken: 2, "broken after": 2, busy: 1, elsewhere: 1 };
const DEEDS = { taps: 24, roads: 4, kills: 4, disks: 3, tabs: 2, clocks: 2, sleeps: 2, server: 2, backups: 5, looks: 2, bins: 1 };

export class World {
  counts = {};
  posts = []; // what the small server was asked and answered, for the real one
  faults = [];

  constructor(seed, { products, keepsPosts = false }) {
    Object.assign(this, { seed, products, keepsPosts });
    this.chance = new Chance(seed);
    this.loop = new Loop(START_MS + this.chance.whole(0, 300) * 24 * HOUR_MS);
    const { chance } = this;
    this.troubles = Object.fromEntries(Object.entries(TROUBLES).map(([name, share]) => [name, chance.is(share)]));
    this.troubles.emptied = !this.troubles.backups && chance.is(0.15);
    this.server = new Server(chance, {
      page: chance.one([1, 2, 4, 200, 200]),
      mostActs: chance.one([5, 200, 200, 200]),
    });
    this.network = new Network(this);
    this.phones = Array.from({ length: chance.one([1, 2, 2, 2, 3]) }, (_, nth) => this.phone(nth));
  }

  phone(nth) {
    const id = `00000000-0000-4000-8000-00000000000${nth + 1}`;
    const isWrong = this.troubles.clocks && this.chance.is(0.6);
    const skewMs = isWrong ? this.chance.whole(-WRONG_MS, WRONG_MS) : this.chance.whole(-400, 400);
    return new Phone(this, id, { skewMs, cookie: this.chance.is(0.6) });
  }

  now = () => Math.floor(this.loop.now);
  saw = (what, n = 1) => (this.counts[what] = (this.counts[what] ?? 0) + n);
  noted = (post) => this.keepsPosts && this.posts.push(JSON.parse(JSON.stringify(post)));

  async live() {
    for (const phone of this.phones) phone.born();
    await this.pass(this.chance.between(200, 4_000));
    await this.taps(this.phones[0], (page) => commonStart(page, this));
    const deeds = Object.fromEntries(Object.entries(DEEDS).filter(([name]) => this.troubles[name] ?? true));
    for (let left = this.chance.whole(8, 18); left > 0; left -= 1) {
      await this.deeds[this.chance.weighted(deeds)](this.chance.one(this.phones));
      await this.pass(this.span());
    }
    await this.heal();
    await check(this);
  }

  span() {
    const { chance } = this;
    return chance.weighted({ a: 6, b: 3, c: 1 }) === "a" ? chance.between(0, 300) : chance.one([2_000, 5_000, 40_000]);
  }

  pass = (ms) => this.loop.run(this.loop.now + ms);

  fault(words) {
    throw new Error(words);
  }

  deeds = {
    taps: (phone) => this.taps(phone, (page) => tap(this, page)),
    roads: (phone) => {
      const isOnLine = this.chance.is(0.6);
      if (phone.road.isOnLine !== isOnLine) this.saw(isOnLine ? "signal came" : "signal went");
      phone.road = this.road(isOnLine);
      this.network.cut(phone);
      if (isOnLine) for (const page of phone.pages) page.later(5, () => page.fire("online"));
    },
    kills: (phone) => {
      const page = phone.pages.length && this.chance.one(phone.pages);
      if (!page) return;
      this.saw("killed");
      if (this.chance.is(0.3)) phone.kill(page);
      else page.fuse = this.chance.whole(0, 40);
    },
    disks: (phone) => {
      const { fault } = phone.disk;
      const kinds = ["full", "some", "abort", "open", "close", "well", "well"];
      const kind = this.chance.one(this.troubles.emptied ? [...kinds, "empty"] : kinds);
      this.saw(`disk: ${kind}`);
      if (kind === "full") fault.room = 0;
      if (kind === "some") fault.room = this.chance.whole(1, 3);
      if (kind === "abort") fault.abort = this.chance.one([0.1, 0.4]);
      if (kind === "open") fault.open = this.chance.one([0.3, 0.6]);
      if (kind === "close") phone.disk.close();
      if (kind === "well") Object.assign(fault, { room: Infinity, abort: 0, open: 0 });
      if (kind === "empty") this.empty(phone);
    },
    tabs: (phone) => {
      if (phone.wantsPages === 1) {
        phone.wantsPages = 2;
        phone.born();
        this.saw("second page");
      } else {
        phone.wantsPages = 1;
        if (phone.pages.length === 2) phone.kill(this.chance.one(phone.pages));
      }
    },
    clocks: (phone) => {
      this.saw("clock set");
      phone.isClockSet = true;
      phone.skewMs = this.chance.one([0, this.chance.whole(-WRONG_MS, WRONG_MS)]);
    },
    sleeps: (phone) => {
      this.saw("slept");
      phone.isClockSet = true;
      phone.sleep(this.chance.one([1_500, 30_000, 900_000]), this.chance.is(0.5));
    },
    server: () => {
      this.network.isServerUp = !this.network.isServerUp;
      this.saw(this.network.isServerUp ? "server up" : "server down");
    },
    backups: () => {
      if (!this.backup || this.chance.is(0.4)) this.backUp();
      else this.putBack();
    },
    looks: (phone) => phone.up.length && this.chance.one(phone.up).look(this.chance.is(0.6)),
    bins: (phone) => {
      for (const page of phone.up.slice(0, 1))
        for (const { act } of page.modules.$data_state.refused()) {
          phone.taps.get(act.id).isOut = true;
          page.modules.$data_state.throwAway(act.id);
        }
    },
  };

  road(isOnLine) {
    const { chance } = this;
    const fates = { heard: chance.whole(2, 12) };
    for (const [fate, weight] of Object.entries(BAD)) if (chance.is(0.5)) fates[fate] = weight;
    const latency = chance.one([GOOD.latency, [200, 3_000]]);
    return { isOnLine, fates, latency, scriptsFail: chance.one([0, 0, 0.3]), streams: chance.one([1, 1, 0]) };
  }

  backUp() {
    this.backup = this.server.copy();
    this.copies = (this.copies ?? 0) + 1;
    this.noted({ copied: this.copies });
  }

  putBack() {
    this.saw("put back");
    const isSilent = !this.isSilent && this.chance.is(0.5); // twice could give a cursor its old act back by chance
    this.isSilent ||= isSilent;
    this.server.putBack(this.backup, isSilent);
    this.noted({ putBack: this.copies, isSilent, epoch: this.server.epoch });
    this.backUp();
  }

  /** The browser empties a phone's memory: what the server has not heard is gone with it. */
  empty(phone) {
    phone.disk.empty();
    phone.isEmptied = true;
    for (const [id, one] of phone.taps) if (!this.server.acts.has(id)) one.isOut = true;
  }

  /** A page's tap; once it is safe it may never be lost again. */
  async taps(phone, make) {
    const pages = phone.up.filter(() => phone.sleepsUntil <= this.loop.now);
    if (!pages.length) return;
    const page = this.chance.one(pages);
    for (let left = this.chance.one([1, 1, 1, 2, 3]); left > 0 && page.isUp; left -= 1) {
      const acts = make(page);
      if (!acts.length) continue;
      const taps = acts.map((act) => ({ act, page, at: this.loop.now, isTold: false, isKept: false, isOut: false }));
      for (const one of taps) phone.taps.set(one.act.id, one);
      this.saw("taps", taps.length);
      page.modules.$ui_record.record(...acts).then(() => this.kept(page, taps, page.said));
      await this.pass(this.chance.one([0, 0, 3, 30]));
      knows(this, page);
    }
  }

  /** A tap is answered: the person was told that it is safe, or that only this page has it. */
  kept(page, taps, said) {
    if (page.dead) return;
    for (const one of taps) Object.assign(one, { isTold: true, isKept: said === "safe" });
    this.saw(taps[0].isKept ? "safe" : "only on the page", taps.length);
  }

  /** All is well: every page comes back, with signal, room and a server, until all phones rest. */
  async heal() {
    this.network.isServerUp = true;
    for (const phone of this.phones) {
      phone.road = GOOD;
      Object.assign(phone.disk.fault, { room: Infinity, abort: 0, open: 0 });
      this.network.cut(phone);
      for (const page of phone.pages) {
        page.fuse = Infinity;
        page.later(5, () => page.fire("online"));
        page.later(10, () => page.look(true));
      }
    }
    const until = this.loop.now + LONGEST_MS;
    while (!rests(this)) {
      if (this.loop.now > until) this.fault(`no rest: ${JSON.stringify(this.phones.map(standing))}`);
      await this.pass(2_000);
    }
  }
}

const standing = (phone) =>
  phone.pages.map((page) => {
    const { $data_state: shop, $data_db: db, $sync_connection: signal } = page.modules;
    const { cursor, memory, recount } = shop.meta;
    return { up: page.isUp, unsent: shop.unsent().length, cursor, memory, recount, owes: db.owes(), mood: signal.mood() };
  });
