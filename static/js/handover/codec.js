// Acts packed for the other phones of the shop: squeezed, split over codes, each part and the whole signed.
//   part: version 1 | shop 4 | set 8 | part 1 | of 1 | piece | signature 16 (bytes)
import { refusal } from "../core/acts/envelope.js";
import { later, t } from "../core/base/translate.js";
import { read as bytesOf, written } from "./base41.js";

const VERSION = 1;
const HEAD = 15;
const SIGNATURE = 16; // bytes of HMAC-SHA-256 that are kept: half, as RFC 2104, 5 allows
const SET = 8;
const CODE_BITS = 4056; // what version 17-M holds: 507 codewords (ISO/IEC 18004)
export const MOST_CODES = 40;
export const MOST_ACTS = 1_000;
export const LARGEST = 1_000_000; // letters of all acts of a set, once unpacked
const squeezed = (bytes) => streamed(new CompressionStream("deflate-raw"), bytes, Infinity);
const unpacked = (bytes) => streamed(new DecompressionStream("deflate-raw"), bytes, LARGEST);
const letters = new TextEncoder();
let cachedKey = { hex: "", key: null };

/** What came is not taken, and why. */
export class Refused extends Error {}

/** Why this phone cannot hand over or take; "" when it can. */
export function hindrance({ key, role }) {
  if (!globalThis.crypto?.subtle)
    return t(
      "Handing over needs https or localhost: this page came over plain http, where the browser can check no signature.",
    );
  if (!squeezes()) return t("This browser is too old to hand over. Update it first.");
  if (role === "wall") return t("A wall tablet only looks on. Take a painter's phone.");
  return key ? "" : t("This phone has not heard the shop's key yet. Open Sandtime once where there is signal.");
}

/** Links, one for each code, that carry these acts and the marks of who made them: `address` is where Sandtime is
 *  opened. */
export async function links(acts, { key, shop }, address, marks = {}) {
  const start = `${address}#take=`;
  // an older version takes the acts and leaves the marks
  const payload = Object.keys(marks).length ? { acts, marks } : { acts };
  const body = await squeezed(letters.encode(JSON.stringify(payload)));
  const of = Math.ceil(body.length / room(start)) || 1;
  if (acts.length > MOST_ACTS || of > MOST_CODES)
    throw new Error(t("That is more than {most} codes. Choose less.", { most: MOST_CODES }));
  const size = Math.ceil(body.length / of);
  const head = [VERSION, ...shopMark(shop), ...(await setMark(body, key)), 0, of];
  const all = Array.from({ length: of }, (_, at) => [
    ...head.with(13, at + 1),
    ...body.subarray(at * size, (at + 1) * size),
  ]);
  return Promise.all(
    all.map(async (part) => start + written([...part, ...(await signature("part", Uint8Array.from(part), key))])),
  );
}

/** The packed text in a link, or in what was pasted. */
export const packedIn = (text) =>
  text
    .replace(/%[0-9a-f]{2}/gi, decoded)
    .trim()
    .split("#take=")
    .at(-1);

/** One part, its signature checked: {set, part, of, piece}. */
export async function read(packed, { key, shop }) {
  const bytes = packed.length > 2_000 ? null : bytesOf(packed);
  if (!bytes || bytes.length <= HEAD + SIGNATURE)
    throw new Refused(t("This is no code for taking over. Nothing was taken."));
  const [part, signed] = [bytes.subarray(0, -SIGNATURE), bytes.subarray(-SIGNATURE)];
  if (part[0] > VERSION)
    throw new Refused(
      t(
        "The other phone has a newer Sandtime. Open this one where there is signal, then take again. Nothing was taken.",
      ),
    );
  if (part[0] < VERSION)
    throw new Refused(
      t("The other phone's Sandtime is too old for this one. Open it where there is signal first. Nothing was taken."),
    );
  if (!alike(part.subarray(1, 5), shopMark(shop)))
    throw new Refused(t("This comes from another shop. Nothing was taken."));
  if (!alike(signed, await signature("part", part, key))) throw new Refused(t(ALTERED));
  const [no, of] = [part[13], part[14]];
  if (no < 1 || no > of || of > MOST_CODES) throw new Refused(t(ALTERED));
  return { set: hex(part.subarray(5, 13)), part: no, of, piece: part.slice(HEAD) };
}

const ALTERED = later(
  "This code was altered on its way, or the shop has a new key: let both phones hear the server once. Nothing was taken.",
);

/** {acts, marks} of a whole set, its pieces in order: all of the acts good, or none. */
export async function open(set, pieces, { key }, now) {
  const body = joined(pieces);
  if (hex(await setMark(body, key)) !== set)
    throw new Refused(t("The codes do not belong together. Nothing was taken."));
  const { acts, marks } = saidIn(await unpacked(body).catch(() => null));
  checked(acts, now);
  return { acts, marks };
}

function checked(acts, now) {
  for (const act of acts) {
    const why = refusal(act, now);
    if (why) throw new Refused(t("A tap in it cannot be kept: {why} Nothing was taken.", { why }));
  }
  if (new Set(acts.map((act) => act.id)).size < acts.length)
    throw new Refused(t("A number stands for two taps in it. Nothing was taken."));
}

/** The acts of a file that a phone took out (phones/join.js): {acts, name}.  No key signs it, so that it is looked
 *  at like codes, and shown before it is taken; `isOurs` says of a thing whether this shop knows it. */
export function inFile(text, { shop }, isOurs, now) {
  let payload = null;
  try {
    payload = text.length > LARGEST ? null : JSON.parse(text);
  } catch {
    // said below
  }
  const acts = payload?.sandtime_taps === 1 ? payload.acts : null;
  if (!Array.isArray(acts) || !acts.length)
    throw new Refused(t("This file holds no taps of Sandtime, or too many. Nothing was taken."));
  checked(acts, now);
  if (payload.shop !== shop && !acts.some(({ on }) => /^(panel|cup):/.test(on) && isOurs(on)))
    throw new Refused(t("This comes from another shop. Nothing was taken."));
  return acts;
}

/** Some cameras write the signs of an address in another way before they open it. */
const decoded = (sign) => String.fromCharCode(Number.parseInt(sign.slice(1), 16));

function saidIn(bytes) {
  if (!bytes) throw new Refused(t("What the codes carry cannot be unpacked, or is too much. Nothing was taken."));
  let payload = null;
  try {
    payload = JSON.parse(new TextDecoder("utf-8", { fatal: true }).decode(bytes));
  } catch {
    // said below
  }
  const acts = payload?.acts;
  if (!Array.isArray(acts) || !acts.length || acts.length > MOST_ACTS)
    throw new Refused(t("What the codes carry are no taps. Nothing was taken."));
  const marks = Object.entries(payload.marks ?? {}).filter(([, mark]) => /^[0-9a-f]{32}$/.test(mark));
  return { acts, marks: Object.fromEntries(marks) };
}

/** Bytes of a set that one code has room for, after the start of the link: that one in bytes, the rest in signs. */
function room(start) {
  const signs = Math.floor(((CODE_BITS - 20 - 8 * letters.encode(start).length - 15) * 2) / 11);
  return Math.max(Math.floor(signs / 3) * 2 - HEAD - SIGNATURE, 40);
}

const shopMark = (id) =>
  id
    .slice(0, 8)
    .match(/../g)
    .map((two) => Number.parseInt(two, 16));
const setMark = async (body, key) => (await signature("set", body, key)).subarray(0, SET);

async function signature(what, bytes, hexKey) {
  if (cachedKey.hex !== hexKey) {
    const raw = Uint8Array.from(hexKey.match(/../g), (two) => Number.parseInt(two, 16));
    cachedKey = {
      hex: hexKey,
      key: await crypto.subtle.importKey("raw", raw, { name: "HMAC", hash: "SHA-256" }, false, ["sign"]),
    };
  }
  const whole = joined([letters.encode(`sandtime ${what} ${VERSION}\n`), bytes]);
  return new Uint8Array(await crypto.subtle.sign("HMAC", cachedKey.key, whole)).subarray(0, SIGNATURE);
}

/** Compared whole, so that the time it takes says nothing of where they differ. */
const alike = (one, two) =>
  one.length === two.length && one.reduce((differs, byte, at) => differs | (byte ^ two[at]), 0) === 0;

const hex = (bytes) => [...bytes].map((byte) => byte.toString(16).padStart(2, "0")).join("");

function squeezes() {
  try {
    return Boolean(new CompressionStream("deflate-raw"));
  } catch {
    return false;
  }
}

/** What a stream makes of bytes; an Error as soon as it is more than `most`. */
async function streamed(stream, bytes, most) {
  const reader = new Blob([bytes]).stream().pipeThrough(stream).getReader();
  const chunks = [];
  let size = 0;
  for (let next = await reader.read(); !next.done; next = await reader.read()) {
    chunks.push(next.value);
    size += next.value.length;
    if (size > most) {
      await reader.cancel();
      throw new RangeError("too much");
    }
  }
  return joined(chunks);
}

function joined(pieces) {
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0));
  let at = 0;
  for (const piece of pieces) {
    whole.set(piece, at);
    at += piece.length;
  }
  return whole;
}
