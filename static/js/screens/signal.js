// The signal line: how the server is, and beside it what is true of this phone and of its taps.
import { t, tn } from "../core/base/translate.js";
import * as disk from "../data/full_disk.js";
import * as shop from "../data/state.js";
import * as connection from "../sync/connection.js";

/** What the signal line says. */
export function words() {
  const unsent = shop.unsent();
  const loose = shop.onlyHere();
  const waits = unsent.filter((row) => !loose.includes(row)).length;
  const refused = shop.refused().length;
  const moodWords = {
    unknown: t("Asking [[the server]]"), // as short as "Saved", so that nothing moves while a screen starts
    asking: t("Asking the server. Clocks keep running"),
    heard: unsent.length ? tn("Sending {n} tap", "Sending {n} taps", unsent.length) : t("Saved [[taps]]"),
    away: t("No signal. Clocks keep running"),
    unreached: t("The server is not reached: no signal, or it is off. Clocks keep running"),
    silent: t("The server does not answer. Clocks keep running"),
    stranger: connection.isEnded()
      ? t("A keeper has ended this phone. What it holds stays on it")
      : t("The server does not know this phone. What it holds stays on it"),
    left: t("This phone has joined another shop"),
    closed: t("This server makes no new shops. Ask a phone of your shop to let this one in"),
    busy: t("The server asks to wait. Clocks keep running"),
    broken: t("The server has trouble. Clocks keep running"),
  }[connection.mood()];
  const parts = [];
  if (disk.isFull()) parts.push(t("This phone is full"));
  if (loose.length)
    parts.push(
      tn("{n} tap is only on this page: keep it open", "{n} taps are only on this page: keep it open", loose.length),
    );
  parts.push(moodWords);
  if (waits && connection.mood() !== "heard")
    parts.push(tn("{n} tap waits on this phone", "{n} taps wait on this phone", waits));
  if (refused) parts.push(tn("{n} tap refused: look in the Book", "{n} taps refused: look in the Book", refused));
  return `${parts.join(". ")}.`;
}

/** What the signal looks like: what needs the person comes before how the server is. */
export function mark() {
  if (disk.isFull() || shop.onlyHere().length) return "full";
  return shop.refused().length ? "refused" : connection.mood();
}
