// Ten thousand timers through the clock and the loop of a phone whose time is ours: it sleeps, is loaded anew, its clock
// is set ahead and back, rings are silenced here and elsewhere and put off.  A function.

async ({ seed, count, turns }) => {
  const [clock, { looped }] = await Promise.all([import("/js/data/clock.js"), import("/js/alarm/loop.js")]);
  const own = [Date.now, performance.now];
  let state = seed;
  const chance = () => (state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 4294967296;
  const upTo = (most) => Math.floor(chance() * most);
  const start = 1_741_075_200_000;
  let truth = start; // ms of a clock that nobody sets
  let skew = 0; // by how much this phone's clock is wrong
  let still = start; // when the page's own count began; later by each sleep in which it stood
  Date.now = () => truth + skew;
  performance.now = () => truth - still;
  const kinds = ["closing", "shut", "opens", "asked"];
  const timer = (key, at) => ({ key, kind: kinds[upTo(4)], at_ms: at, since_ms: at, until_ms: null, hushed: Infinity });
  const all = Array.from({ length: count }, (_, nth) => {
    const one = timer(`${nth}`, start + 1000 + upTo((turns - 2) * 1000));
    if (one.kind === "closing") one.until_ms = one.at_ms + 1000 + upTo(60_000);
    if (chance() < 0.05) one.hushed = one.at_ms - 30_000 + upTo(60_000); // on another phone
    return one;
  });
  const standing = (at) => all.filter((one) => one.hushed > at && (one.until_ms === null || at < one.until_ms));
  const told = new Map(all.map((one) => [one.key, []]));
  const tally = { sleeps: 0, steps: 0, loads: 0, putOff: 0, answered: 0 };
  const gaps = []; // [from, to] in which the page did not live
  let loop = looped();
  clock.resume({});
  clock.heard(truth, Date.now(), performance.now());

  function disturb() {
    const what = chance();
    if (what < 0.015) sleep();
    else if (what < 0.03) load();
    else if (what < 0.045) {
      skew += (chance() < 0.5 ? -1 : 1) * (2000 + upTo(7_200_000));
      tally.steps += 1;
    }
  }

  function sleep() {
    const begin = truth;
    truth += 1000 * (10 + upTo(110));
    if (chance() < 0.5) still += truth - begin;
    gaps.push([begin - 1000, truth]); // since the last turn
    tally.sleeps += 1;
  }

  /** The page is loaded anew, with what it had kept as text. */
  function load() {
    const kept = JSON.parse(JSON.stringify({ loop: loop.kept(), clock: clock.words() }));
    const seen = Math.floor(kept.clock.seen);
    if (chance() < 0.5) sleep();
    still = truth;
    clock.resume(kept.clock);
    loop = looped(kept.loop, seen, standing(seen));
    tally.loads += 1;
  }

  /** What a person does about a ring that is heard. */
  function answer({ key }) {
    const what = chance();
    const one = all.find((each) => each.key === key);
    if (what < 0.2) {
      one.hushed = truth + 1;
      tally.answered += 1;
    } else if (what < 0.25) {
      const later = timer(`${key} again ${truth}`, truth + 1000 + upTo(60_000));
      one.hushed = truth + 1;
      all.push(later);
      told.set(later.key, []);
      tally.putOff += 1;
    }
  }

  function turn() {
    if (clock.watch()) clock.heard(truth, Date.now(), performance.now());
    const now = Math.floor(clock.now());
    const { fresh, missed } = loop.turn(standing(now), now, { kinds });
    for (const ring of [...fresh, ...missed]) told.get(ring.key).push(truth);
    fresh.forEach(answer);
  }

  try {
    for (; truth <= start + (turns + 70) * 1000; truth += 1000) {
      disturb();
      turn();
    }
  } finally {
    [Date.now, performance.now] = own;
  }
  const lived = (at) => gaps.every(([from, to]) => at <= from || at > to);
  const wrong = all.filter((one) => {
    if (one.at_ms > truth - 2000) return false; // put off beyond the end
    const times = told.get(one.key);
    if (one.hushed <= one.at_ms + 1000 && times.length === 0) return false; // answered elsewhere before it could ring
    if (one.hushed <= one.at_ms && lived(one.at_ms)) return true;
    return times.length !== 1 || times[0] < one.at_ms || (lived(one.at_ms) && times[0] - one.at_ms > 1000);
  });
  const shown = wrong.slice(0, 3).map((one) => [one, told.get(one.key), lived(one.at_ms)]);
  return { ...tally, wrong: shown, rang: [...told.values()].filter((times) => times.length === 1).length };
}
