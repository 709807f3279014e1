// Twin of timers/core/fold/areas.py: the rules and their sources are explained there.

export const INTO = ' › ';

export function around(area) {
  const parts = area ? area.split(INTO) : [];
  return ['', ...parts.map((part, nth) => parts.slice(0, nth + 1).join(INTO))];
}

export const touch = (one, two) =>
  one === '' || two === '' || one === two || one.startsWith(two + INTO) || two.startsWith(one + INTO);

export const on = (outer, spot) => (outer && spot ? `${outer}${INTO}${spot}` : outer || spot);

export function spots(steps) {
  const [found, seen] = [new Set(), new Set()];
  for (const { area, do: does, words: said, cls } of steps) {
    const key = (where) => JSON.stringify([where, does, said, cls]);
    if (area.includes(INTO) || around(area).slice(0, -1).some((wider) => seen.has(key(wider)))) found.add(area);
    seen.add(key(area));
  }
  return [...found];
}

export const words = (area) => area.split(INTO).join(', ');
