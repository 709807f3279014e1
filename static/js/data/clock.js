// Shop time: this phone's clock, corrected by what the server said, and kept steady over clock steps.
const STEP_MS = 1500;
export const QUARTER_MS = 900_000;
let offset = 0;
let seenBefore = null; // when this phone was last awake, as it was kept
let known = false;
let anchor = null;
let ahead = 0; // ms by which this clock has jumped ahead while the page lived: steps or sleeps
let between = [0, 0]; // what it was at the last two words of the server
let corrected = 0; // ms by which the server's words have moved shop time in all, over all pages of this phone

export const now = () => Date.now() + offset;
export const isKnown = () => known;
/** When this phone was last awake before this page, or null. */
export const lastSeen = () => seenBefore;
/** What is kept of the clock for the next page. */
export const words = () => ({ offset, known, seen: now(), corrected });
/** By how much the server has put shop time right so far: taps are kept with it, so that each is moved only once. */
export const correction = () => corrected;

/** Take up where the phone left off; a clock that went back while we were away is held at the last moment seen. */
export function resume({ offset: kept = 0, known: was = false, seen = 0, corrected: before = 0 } = {}) {
  seenBefore = seen || null;
  offset = kept;
  known = was;
  corrected = before;
  anchor = here();
  const back = seen - now();
  if (back > STEP_MS) {
    offset += back;
    known = false;
  }
  return Math.max(back, 0);
}

/** The server's word on the time, asked and heard between two readings of our own clock.  Returns how wrong we were. */
export function heard(serverMs, sentDate, sentPerf) {
  const took = performance.now() - sentPerf;
  if (took > 10_000 || Math.abs(Date.now() - sentDate - took) > STEP_MS) return 0;
  between = [between[1], jumped()];
  const error = Math.round(serverMs - (sentDate + took / 2) - offset);
  const trusted = known && Math.abs(error) <= Math.max(took / 2, 250);
  known = true;
  if (trusted) return 0;
  offset += error;
  corrected += error;
  return error;
}

/** Move shop time by hand: the person said that the jump was the clock's, not a sleep. */
export function shift(ms) {
  offset += ms;
  ahead += ms;
}

/** How far the clock has jumped ahead so far, the jump too that no tick has seen yet. */
export function jumped() {
  const pending = jumpSince(anchor);
  return ahead + (pending > STEP_MS ? pending : 0);
}

/** By how much, in whole ms, a tap is put right that was made when the clock had jumped `then` ms: one made before a
 *  jump that the server's word takes back was made by a right clock. */
export function errorOf(error, then = 0) {
  const since = Math.max(0, between[1] - Math.max(then, between[0]));
  const rest = Math.round(error + since);
  if (Math.abs(rest) >= Math.abs(error)) return error;
  return Math.abs(rest) < STEP_MS ? 0 : rest;
}

/** Called at every tick.  Back: surely a step, undone at once.  Ahead: a sleep or a step, which only the server
 *  knows. */
export function watch() {
  const jump = jumpSince(anchor);
  anchor = here();
  if (Math.abs(jump) < STEP_MS) return 0;
  if (jump < 0) offset -= jump;
  else ahead += jump;
  return Math.round(jump);
}

const here = () => ({ date: Date.now(), perf: performance.now() });

const jumpSince = ({ date, perf }) => Date.now() - date - (performance.now() - perf);

const formats = new Map();

/** Minutes east of UTC of a zone at a moment.  What was kept of the zone (data/zone.js) answers
 *  at once; the browser's own tables take longer to open than the floor to paint. */
export function zoneOf(name, kept) {
  const quarters = new Map();
  const asked = (atMs) => {
    const quarter = Math.floor(atMs / QUARTER_MS);
    if (!quarters.has(quarter)) quarters.set(quarter, minutesEast(name, quarter * QUARTER_MS));
    return quarters.get(quarter);
  };
  if (kept?.name !== name) return asked;
  const { spans, until } = kept;
  return (atMs) => (atMs >= spans[0][0] && atMs < until ? spans.findLast(([from]) => from <= atMs)[1] : asked(atMs));
}

let cachedZone = { name: null, at: null };

/** The zone of a shop, from what this phone knows of it. */
export function zoneFor({ zone, zoned }) {
  const name = zone || "UTC";
  if (cachedZone.name !== name) cachedZone = { name, at: zoneOf(name, zoned) };
  return cachedZone.at;
}

function minutesEast(name, atMs) {
  if (!formats.has(name)) formats.set(name, formatOf(name));
  const parts = Object.fromEntries(
    formats
      .get(name)
      .formatToParts(atMs)
      .map((part) => [part.type, Number(part.value)]),
  );
  const local = Date.UTC(parts.year, parts.month - 1, parts.day, parts.hour, parts.minute, parts.second);
  return Math.round((local - Math.floor(atMs / 1000) * 1000) / 60_000);
}

function formatOf(name) {
  const fields = {
    year: "numeric",
    month: "numeric",
    day: "numeric",
    hour: "numeric",
    minute: "numeric",
    second: "numeric",
  };
  try {
    return new Intl.DateTimeFormat("en-u-hc-h23", { ...fields, timeZone: name });
  } catch {
    return new Intl.DateTimeFormat("en-u-hc-h23", { ...fields, timeZone: "UTC" });
  }
}
