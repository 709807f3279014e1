// How many taps, and on what, in words.
const THINGS = { panel: ["panel", "panels"], cup: ["cup", "cups"], product: ["product", "products"], route: ["route", "routes"] };

export const taps = (count) => (count === 1 ? "1 tap" : `${count} taps`);

/** "on 2 panels, 1 cup and the air" */
export function onWhat(acts) {
  const things = [...new Set(acts.map((act) => act.on))];
  const counts = Object.entries(THINGS).map(([kind, [one, many]]) => {
    const count = things.filter((on) => on.startsWith(`${kind}:`)).length;
    return count ? `${count} ${count === 1 ? one : many}` : "";
  });
  const rest = [things.includes("air") && "the air", things.includes("shop") && "the shop's units"];
  const said = [...counts, ...rest].filter(Boolean);
  return `on ${[said.slice(0, -1).join(", "), said.at(-1)].filter(Boolean).join(" and ")}`;
}
