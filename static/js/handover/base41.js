// Bytes as letters that a QR code packs tightest and an address may carry: two bytes, three of 41 signs, the smallest
// place first.  The largest two signs never stand last, so that nothing cuts a full stop or a colon off a link.
const SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$-/.:";
const BASE = SIGNS.length;
const VALUES = new Map([...SIGNS].map((sign, value) => [sign, value]));

export function written(bytes) {
  let text = "";
  for (let at = 0; at < bytes.length; at += 2) {
    const pair = at + 1 < bytes.length;
    let value = pair ? bytes[at] * 256 + bytes[at + 1] : bytes[at];
    for (let place = pair ? 3 : 2; place; place -= 1) {
      text += SIGNS[value % BASE];
      value = Math.floor(value / BASE);
    }
  }
  return text;
}

/** The bytes of a text; null where it is none of ours.  No two texts give the same bytes. */
export function read(text) {
  const bytes = [];
  for (let at = 0; at < text.length; at += 3) {
    const places = [...text.slice(at, at + 3)].map((sign) => VALUES.get(sign) ?? NaN);
    const value = places.reduceRight((sum, place) => sum * BASE + place, 0);
    const most = { 2: 255, 3: 65_535 }[places.length] ?? -1;
    if (!(value <= most)) return null;
    bytes.push(...(places.length === 3 ? [value >> 8, value & 255] : [value]));
  }
  return Uint8Array.from(bytes);
}
