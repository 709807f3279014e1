// A phone's mark on an act that another phone hands on: who made it, and that nobody altered it.  Twin: timers/core/acts/signature.py

/** An act as the one text that a phone signs: JSON without spaces, keys in the order of their UTF-16 units (RFC 8785).
 *  Written by hand, since an object gives keys that are numbers first, whatever the order. */
export function signedText(value) {
  if (Array.isArray(value)) return `[${value.map(signedText).join(",")}]`;
  if (value === null || typeof value !== "object") return JSON.stringify(value);
  return `{${Object.keys(value).sort().map((key) => `${JSON.stringify(key)}:${signedText(value[key])}`).join(",")}}`;
}

/** The first sixteen bytes, in hex, of HMAC-SHA-256 under the phone's own key over the act's text; null where the
 *  browser signs nothing (plain http). */
export const mark = (key, act) => signed(key, `sandtime act 1\n${signedText(act)}`);

/** The same over any text. */
export async function signed(key, text) {
  if (!key || !globalThis.crypto?.subtle) return null;
  const raw = Uint8Array.from(key.match(/../g), (two) => Number.parseInt(two, 16));
  const held = await crypto.subtle.importKey("raw", raw, { name: "HMAC", hash: "SHA-256" }, false, ["sign"]);
  const bytes = new Uint8Array(await crypto.subtle.sign("HMAC", held, new TextEncoder().encode(text)));
  return [...bytes.subarray(0, 16)].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}
