// The browser emptied the disk under this page: what the page holds goes there again, and nothing has to be told anew.

/** Changes that bring all that this page holds to a disk beside what another page has brought there already; of another
 *  epoch than that one's only its taps.  `onDisk` is all that stands there, `held` are {things, rows, facts}. */
export function again({ outbox, kept, meta }, { things, rows, facts }) {
  const known = new Set([...outbox.map((row) => row.act), ...kept.flatMap((thing) => thing.acts)].map((act) => act.id));
  const taps = rows.filter((row) => !known.has(row.act.id)).map((row) => ["put", "outbox", row]);
  if (meta.memory && meta.memory !== facts.memory) return taps;
  return [...taps, ...things.map((thing) => ["newer", "kept", thing]), ...ofThePage(meta, facts)];
}

function ofThePage(meta, { cursor = 0, cursorAct = "", ...facts }) {
  const missing = Object.entries(facts).filter(([name]) => !Object.hasOwn(meta, name) || name === "fresh");
  const put = missing.map(([name, value]) => ["put", "meta", { name, value: value && (meta[name] ?? value) }]);
  const at = Object.entries({ cursor, cursorAct }).map(([name, value]) => ({ name, value, seq: cursor }));
  return [...put, ...at.map((row) => ["newer", "meta", row])]; // as state.js writes the two
}
