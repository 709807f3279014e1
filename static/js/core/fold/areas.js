// Twin of timers/core/fold/areas.py: the rules and their sources are explained there.

export const INTO = ' › ';

export function around(area) {
  const parts = area ? area.split(INTO) : [];
  return ['', ...parts.map((part, nth) => parts.slice(0, nth + 1).join(INTO))];
}

export const touch = (one, two) =>
  one === '' || two === '' || one === two || one.startsWith(two + INTO) || two.startsWith(one + INTO);

export const on = (outer, spot) => (outer && spot ? `${outer}${INTO}${spot}` : outer || spot);

export const words = (area) => area.split(INTO).join(', ');
