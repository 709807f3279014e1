// What lies in the codes of another phone, in words, before it is taken.
import { clock } from "./core/words.js";
import { words } from "./said.js";
import * as shop from "./shop.js";
import { onWhat, taps } from "./tapwords.js";

/** Whether this phone holds an act already, its own or the server's. */
export const isKnown = ({ id, on }) => shop.outbox.has(id) || shop.actsOf(on).some((act) => act.id === id);

/** A set of which codes are missing. */
export function partly({ key, of, parts }) {
  const missing = Array.from({ length: of }, (_, at) => at + 1).filter((no) => !parts.has(no));
  const some = `${missing.slice(0, 12).join(", ")}${missing.length > 12 ? " and more" : ""}`;
  return { key, whole: "no", title: `${parts.size} of ${of} codes are here`, told: `Still to come: ${some}.`, leave: "Throw these away", rows: [] };
}

/** A whole set: what is in it, what of it is new, and the panels that this phone does not know. */
export function outlook({ key, acts }, now, zone) {
  const fresh = acts.filter((act) => !isKnown(act));
  const some = { key, whole: "yes", title: "In these codes", told: `${taps(acts.length)} ${onWhat(acts)}, ${made(acts, now, zone)}.` };
  const all = fresh.length === acts.length ? "" : `${taps(acts.length - fresh.length)} of it ${acts.length - fresh.length === 1 ? "is" : "are"} here already.`;
  const known = fresh.length ? all : "All of it is here already. Nothing to take.";
  const deed = fresh.length ? `Take ${taps(fresh.length)}` : "";
  return { ...some, known, deed, leave: deed ? "Throw this away" : "Close", ...shop.supposing(fresh, () => laid(acts, fresh, now, zone)) };
}

function laid(acts, fresh, now, zone) {
  const rows = [...acts].sort((one, two) => one.at - two.at || (one.id < two.id ? -1 : 1)).map((act) => ({
    key: act.id,
    when: clock(act.at, now, zone),
    words: `${act.on.startsWith("panel:") && shop.view(act.on).name ? `${shop.view(act.on).name}. ` : ""}${words(act)}`,
    mark: fresh.includes(act) ? "" : "here already",
  }));
  const strange = new Set(acts.map((act) => act.on).filter((on) => on.startsWith("panel:") && shop.view(on).added_at === null)).size;
  const which = strange === 1 ? "One panel in it is" : `${strange} panels in it are`;
  return { rows, missing: strange ? `${which} not on this phone yet: what was done shows when the panel itself comes, whole from the other phone or from the server.` : "" };
}

/** On which phones and when: "made on Ana's phone 14:02 to 15:30". */
function made(acts, now, zone) {
  const phones = [...new Set(acts.map((act) => act.who ?? ""))];
  const where = phones.length > 1 ? `${phones.length} phones` : phoneWords(phones[0]);
  const [first, last] = [Math.min, Math.max].map((most) => clock(most(...acts.map((act) => act.at)), now, zone));
  return `made on ${where} ${first}${first === last ? "" : ` to ${last}`}`;
}

/** A phone by its person or its name, where the shop has been told them. */
function phoneWords(id) {
  const { person, name } = shop.view("shop").phones?.[id] ?? {};
  if (id === shop.meta.phone) return "this phone";
  return (person && `${person}'s phone`) || name || "another phone";
}
