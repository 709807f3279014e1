// The server has forgotten a shop in which nothing was ever done: this phone begins anew, and what it did since goes
// along.
import * as shop from "../data/state.js";
import * as store from "../data/db.js";

/** Whether all that the server knew of this phone's shop was what every shop begins with: then nothing is lost with
 *  it. */
export const mayBegin = () => shop.meta.unused === true && ![...shop.outbox.values()].some((row) => row.seq);

/** Before the new shop is asked for: what is posted from now on speaks for no shop, and holds nothing of one. */
export const leave = () => shop.remember({ shop: "", memory: "", cursor: 0, cursorAct: "" });

/** The phone has another number now: its own taps, which no server ever kept, name it by that one. */
export async function arrive(phone) {
  const old = shop.meta.phone;
  const rows = [...shop.outbox.values()];
  for (const row of rows) row.act = JSON.parse(JSON.stringify(row.act).replaceAll(old, phone));
  const about = { phone, began: true };
  Object.assign(shop.meta, about);
  const meta = Object.entries(about).map(([name, value]) => ["put", "meta", { name, value }]);
  await store.write([...rows.map((row) => ["put", "outbox", row]), ...meta]);
}
