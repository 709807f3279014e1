// Schedules by their seeds: what was seen in them, and of those that failed why.
import { World } from "./world.js";

/** {counts, events, failed: [{seed, why}], posts of each world where they are kept}. */
export async function run(first, count, options) {
  const counts = {};
  const [failed, posts] = [[], []];
  let events = 0;
  for (let seed = first; seed < first + count; seed += 1) {
    const world = new World(seed, options);
    try {
      await world.live();
    } catch (why) {
      failed.push({ seed, why: String(why?.stack ?? why).slice(0, 3_000) });
      if (options.stops) break;
    }
    for (const [what, n] of Object.entries(world.counts)) counts[what] = (counts[what] ?? 0) + n;
    events += world.loop.events;
    if (options.keepsPosts) posts.push({ seed, page: world.server.page, mostActs: world.server.mostActs, posts: world.posts });
  }
  return { counts, events, failed, posts };
}
