// Schedules with no browser, in node: every so-manieth slice of them, a line of JSON for each.
//   node slices.js FIRST COUNT SLICE NTH OF PRODUCTS
import { run } from "./run.js";

const [first, count, slice, nth, of] = process.argv.slice(2, 7).map(Number);
const products = JSON.parse(process.argv[7]);
for (let at = first + nth * slice; at < first + count; at += of * slice) {
  const { counts, failed } = await run(at, Math.min(slice, first + count - at), { products });
  const told = failed.map(({ seed, why }) => ({ seed, why: why.split("\n")[0].slice(0, 150) }));
  console.log(JSON.stringify({ at, n: Math.min(slice, first + count - at), taps: counts.taps, failed: told.slice(0, 10) }));
}
