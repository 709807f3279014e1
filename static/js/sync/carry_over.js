// What a phone held of a shop that the server had lost: told to the shop that it joined, where that is the same made
// anew.
import { t } from "../core/base/translate.js";
import * as shop from "../data/state.js";
import * as events from "../data/events.js";

/** Called once all of the new shop is heard.  It is the old one made anew where it holds an act on a panel or a cup
 *  that this phone held: nobody else can know its number.  Else nothing is told, and taps that no server had stay in
 *  the Book. Whether there is something to send. */
export async function settle() {
  const { acts, own, shop: name } = shop.meta.carried;
  const known = new Set(shop.heardActs().map((act) => act.id));
  const isSame = acts.some(({ on, id }) => /^(panel|cup):/.test(on) && known.has(id));
  const why = t("Made in “{shop}”, which this phone has left. It stays on this phone. [[a tap]]", { shop: name });
  const fresh = (isSame ? acts : own).filter(({ id }) => !known.has(id) && !shop.isOwn(id));
  await shop.keepAll(fresh, isSame ? { tried: true } : { tried: true, why });
  if (shop.onlyHere().length) return false; // the disk is full: with the next answer
  await shop.note({ carried: null });
  if (isSame && fresh.length) events.say("carried", fresh.length);
  return isSame;
}
