// How many taps, and on what, in words.
import { t, tn } from "../core/base/translate.js";

const THINGS = {
  panel: (n) => tn("{n} panel [[taps on it]]", "{n} panels [[taps on them]]", n),
  cup: (n) => tn("{n} cup [[taps on it]]", "{n} cups [[taps on them]]", n),
  product: (n) => tn("{n} product [[taps on it]]", "{n} products [[taps on them]]", n),
  route: (n) => tn("{n} route [[taps on it]]", "{n} routes [[taps on them]]", n),
};

/** "3 taps on 2 panels, 1 cup and the air." */
export const tapsOn = (acts) =>
  tn("{n} tap on {things}.", "{n} taps on {things}.", acts.length, { things: thingsOf(acts) });

/** "2 panels, 1 cup and the air" */
export function thingsOf(acts) {
  const things = [...new Set(acts.map((act) => act.on))];
  const counts = Object.entries(THINGS).map(([kind, words]) => {
    const count = things.filter((on) => on.startsWith(`${kind}:`)).length;
    return count && words(count);
  });
  const rest = [
    things.includes("air") && t("the air [[taps on it]]"),
    things.includes("shop") && t("the shop's units [[taps on them]]"),
  ];
  const parts = [...counts, ...rest].filter(Boolean);
  return parts.length < 2
    ? parts.join()
    : t("{things} and {last}", { things: parts.slice(0, -1).join(", "), last: parts.at(-1) });
}
