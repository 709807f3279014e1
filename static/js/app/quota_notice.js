// What the server says is nearly full: once a day, in the one notice.
import * as clock from "../data/clock.js";
import * as shop from "../data/state.js";
import { notice } from "../ui/notice.js";

const DAY_MS = 86_400_000;

/** `notes` as an answer tells them: [{key, words}]. */
export function tell(notes) {
  const now = clock.now();
  const recent = Object.entries(shop.meta.nearly ?? {}).filter(([, at]) => now - at < DAY_MS);
  const fresh = notes.filter(({ key }) => !recent.some(([one]) => one === key));
  if (!fresh.length) return;
  shop.note({ nearly: Object.fromEntries([...recent, ...fresh.map(({ key }) => [key, now])]) });
  notice(fresh.map(({ words }) => words).join(" "));
}
