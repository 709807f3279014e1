// The server has forgotten a shop in which nothing was ever done: this phone begins anew, and what it did since goes
// along.
import * as shop from "../data/state.js";

/** Whether all that the server knew of this phone's shop was what every shop begins with: then nothing is lost with
 *  it. */
export const mayBegin = () => shop.meta.unused === true && !shop.rows().some((row) => row.seq);

/** Before the new shop is asked for: what is posted from now on speaks for no shop, and holds nothing of one. */
export const leave = () => shop.remember({ shop: "", memory: "", cursor: 0, cursorAct: "" });

/** The phone has another number now. */
export const arrive = (phone) => shop.renumber(phone, { began: true });
