// A phone: a disk, a clock that may be wrong, a road, and the pages that come and go.
import { Disk } from "./disk.js";
import { GOOD } from "./network.js";
import { Page } from "./page.js";

export class Phone {
  pages = [];
  sleepsUntil = 0;
  road = GOOD;
  waiting = []; // requests for the lock, the one that has it first
  taps = new Map(); // act id -> {act, page, isKept, isOut}: what was tapped here
  wantsPages = 1;
  deaths = 0;

  constructor(world, id, { skewMs, cookie }) {
    Object.assign(this, { world, id, skewMs, cookie });
    this.disk = new Disk(world.loop, world.chance);
  }

  get up() {
    return this.pages.filter((page) => page.isUp);
  }

  born(fuse = Infinity) {
    const page = new Page(this);
    page.fuse = fuse;
    this.pages.push(page);
    return page;
  }

  /** The page is gone from one moment to the next; it comes back after a while. */
  kill(page, afterMs = this.world.chance.between(50, 9_000)) {
    if (page.dead) return;
    page.die();
    this.deaths += 1;
    this.waiting = this.waiting.filter((one) => one.page !== page);
    this.grant();
    this.pages = this.pages.filter((one) => one !== page);
    this.world.loop.after(afterMs, () => this.pages.length < this.wantsPages && this.born());
  }

  reload(page) {
    this.kill(page, 20);
  }

  /** Nothing of this phone runs for so long; whether its pages' own clocks count the time differs by phone. */
  sleep(ms, counts) {
    this.sleepsUntil = this.world.loop.now + ms;
    this.world.loop.at(this.sleepsUntil, () => {
      for (const page of counts ? [] : this.pages) page.perfLost += ms;
    });
  }

  /** What one page says to the others of this phone. */
  tell(from, data) {
    for (const page of this.pages)
      if (page !== from) page.later(this.world.chance.between(0.5, 5), () => page.channel?.onmessage?.({ data }));
  }

  lock(page, { signal }, work) {
    page.uses();
    return new Promise((go, no) => {
      if (page.dead) return;
      const asked = { page, work, go, isIn: false };
      this.waiting.push(asked);
      signal.addEventListener("abort", () => {
        if (asked.isIn || page.dead) return;
        this.waiting = this.waiting.filter((one) => one !== asked);
        no(new DOMException("aborted", "AbortError"));
      });
      this.grant();
    });
  }

  grant() {
    const [first] = this.waiting;
    if (!first || first.isIn) return;
    first.isIn = true;
    const left = () => {
      if (first.page.dead) return;
      this.waiting = this.waiting.filter((one) => one !== first);
      first.go();
      this.grant();
    };
    first.page.later(0.1, () => void first.work().then(left));
  }
}
