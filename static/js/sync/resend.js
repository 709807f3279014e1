// The server's memory is another one (a backup, a snapshot, a move): what it does not know any more this phone tells it
// again.
import * as shop from "../data/state.js";
import * as events from "../data/events.js";

/** Called with each answer, before its fragments are taken in, until the server has told all that it holds; `anew`
 *  with the first one under another memory, also in the midst of counting.  Acts of ours that a fragment lacks, and
 *  at the end those of things that the server never named, go into the outbox.  The things not counted yet, or null
 *  when all are. */
export async function resend(fragments, whole, anew) {
  if (anew) await nothingHeard();
  const left = new Set(anew ? shop.heardThings() : shop.meta.recount);
  const named = fragments.filter(({ on }) => left.delete(on));
  const lost = named.flatMap(({ on, acts }) => missing(on, acts));
  const gone = whole ? [...left] : [];
  lost.push(...gone.flatMap((on) => missing(on, [])));
  await keep(shop.meta.role === "wall" ? [] : lost); // a wall only looks: other phones say what was lost
  await shop.dropThings(gone);
  return whole ? null : [...left];
}

/** Numbers that the server gave to acts before it was put back mean nothing any more. */
const nothingHeard = () =>
  shop.mark(
    shop.rows().filter((row) => row.seq),
    { seq: null },
  );

function missing(on, acts) {
  const known = new Set(acts.map((act) => act.id));
  return (shop.heardOf(on)?.acts || []).filter((act) => !known.has(act.id) && !shop.isOwn(act.id) && mayTell(act));
}

/** The name of the shop is told again by a keeper's phone only: from another the server would refuse it. */
function mayTell({ on, kind, act }) {
  if (on !== "shop" || shop.meta.role === "keeper") return true;
  const what = act ? shop.actsOf(on).find((one) => one.id === act)?.kind : kind;
  return what !== "shop_named";
}

async function keep(lost) {
  const full = await shop.keepAll(lost, { tried: true }); // they were posted once: their moments may not move
  if (full) throw full;
  if (lost.length) events.say("resent", lost.length);
}
