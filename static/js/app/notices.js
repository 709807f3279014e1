// What this phone must say of its clock, its memory, its address and of taps sent again: seldom, so it comes when it is
// needed.
import * as events from "../data/events.js";
import * as clock from "../data/clock.js";
import { t, tn } from "../core/base/translate.js";
import { span } from "../core/base/words.js";
import { notice } from "../ui/notice.js";

export const clockWentBack = (ms) =>
  notice(
    t("This phone's clock went back {span} while Sandtime was closed. Times may be off until there is signal.", {
      span: span(ms),
    }),
  );

export const noMemory = () =>
  notice(t("This browser lets Sandtime keep nothing on the phone (a private window?). Taps are lost when it closes."));

export const emptied = () =>
  notice(
    t(
      "The browser had emptied Sandtime's memory on this phone. All that the server had heard is back; taps that were not sent are gone.",
    ),
  );

export const plainHttp = () => notice(t("Over plain http Sandtime cannot start without signal. Open it over https."));

/** A clock that jumped: back is put right at once; ahead may have been a sleep, so the person can say it was not. */
export function jumped(ms) {
  if (ms < 0)
    return notice(t("This phone's clock was set back {span}. The film clocks did not move.", { span: span(-ms) }));
  if (ms < 60_000 || document.visibilityState !== "visible") return;
  const by = { span: span(ms) };
  notice(
    t("This phone slept, or its clock jumped ahead {span}.", by),
    t("It did not sleep: take {span} off", by),
    () => {
      clock.shift(-ms);
      events.say("changed");
    },
  );
}

/** Taps that the server lacked after a restore. */
export const resent = (n) =>
  notice(
    tn(
      "The server had lost {n} tap: sent again from this phone.",
      "The server had lost {n} taps: sent again from this phone.",
      n,
    ),
  );

/** Taps of a lost shop that the shop made anew lacked. */
export const carried = (n) =>
  notice(
    tn(
      "This is your shop made anew: {n} tap that it lacked is sent from this phone.",
      "This is your shop made anew: {n} taps that it lacked are sent from this phone.",
      n,
    ),
  );
