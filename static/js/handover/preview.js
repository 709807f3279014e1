// What lies in the codes of another phone, in words, before it is taken.
import { t, tn } from "../core/base/translate.js";
import { clock } from "../core/base/words.js";
import { words } from "../ui/describe.js";
import * as shop from "../data/state.js";
import * as views from "../data/views.js";
import { thingsOf } from "./summary.js";

/** Whether this phone holds an act already, its own or the server's. */
export const isKnown = ({ id, on }) => shop.isOwn(id) || shop.actsOf(on).some((act) => act.id === id);

/** A set of which codes are missing. */
export function partly({ key, of, parts }) {
  const missing = Array.from({ length: of }, (_, at) => at + 1).filter((no) => !parts.has(no));
  const some = missing.slice(0, 12).join(", ");
  const numbers =
    missing.length > 12
      ? t("Still to come: {some} and more. [[numbers of codes]]", { some })
      : t("Still to come: {some}. [[numbers of codes]]", { some });
  return {
    key,
    whole: "no",
    title: t("{here} of {of} codes are here", { here: parts.size, of }),
    told: numbers,
    leave: t("Throw these away"),
    rows: [],
  };
}

/** A whole set: what is in it, what of it is new, and the panels that this phone does not know. */
export function outlook({ key, acts }, now, zone) {
  const fresh = acts.filter((act) => !isKnown(act));
  const some = {
    key,
    whole: "yes",
    title: key === "file" ? t("In this file") : t("In these codes"),
    told: toldOf(acts, now, zone),
  };
  const old = acts.length - fresh.length;
  const all = old ? tn("{n} tap of it is here already.", "{n} taps of it are here already.", old) : "";
  const known = fresh.length ? all : t("All of it is here already. Nothing to take.");
  const deed = fresh.length
    ? tn("Take {n} tap [[take it over]]", "Take {n} taps [[take them over]]", fresh.length)
    : "";
  return {
    ...some,
    known,
    deed,
    leave: deed ? t("Throw this away") : t("Close [[shut what is shown]]"),
    ...shop.supposing(fresh, () => laid(acts, fresh, now, zone)),
  };
}

function laid(acts, fresh, now, zone) {
  const rows = [...acts]
    .sort((one, two) => one.at - two.at || (one.id < two.id ? -1 : 1))
    .map((act) => ({
      key: act.id,
      when: clock(act.at, now, zone),
      words: `${act.on.startsWith("panel:") && views.view(act.on).name ? `${views.view(act.on).name}. ` : ""}${words(act)}`,
      mark: fresh.includes(act) ? "" : t("here already [[a tap]]"),
    }));
  const strange = new Set(
    acts.map((act) => act.on).filter((on) => on.startsWith("panel:") && views.view(on).added_at === null),
  ).size;
  const one =
    strange &&
    tn(
      "One panel in it is not on this phone yet: what was done shows when the panel itself comes, whole from the other phone or from the server.",
      "{n} panels in it are not on this phone yet: what was done shows when the panel itself comes, whole from the other phone or from the server.",
      strange,
    );
  return { rows, missing: one || "" };
}

/** How many taps, on what, on which phones and when: "3 taps on 1 panel, made on Ana's phone 14:02 to 15:30." */
function toldOf(acts, now, zone) {
  const phones = [...new Set(acts.map((act) => act.who ?? ""))];
  const where =
    phones.length > 1
      ? tn("{n} phone [[made on it]]", "{n} phones [[made on them]]", phones.length)
      : phoneWords(phones[0]);
  const [first, last] = [Math.min, Math.max].map((most) => clock(most(...acts.map((act) => act.at)), now, zone));
  const when = first === last ? first : t("{from} to {to} [[times of day]]", { from: first, to: last });
  return tn(
    "{n} tap on {things}, made on {where} {when}.",
    "{n} taps on {things}, made on {where} {when}.",
    acts.length,
    { things: thingsOf(acts), where, when },
  );
}

/** A phone by its person or its name, where the shop has been told them. */
function phoneWords(id) {
  const { person, name } = views.view("shop").phones?.[id] ?? {};
  if (id === shop.meta.phone) return t("this phone [[made on it]]");
  return (person && t("{person}'s phone [[made on it]]", { person })) || name || t("another phone [[made on it]]");
}
