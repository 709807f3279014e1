// This phone: its storage, its theme, new versions, and what it must say about its clock.
import * as clock from "./clock.js";
import { decimal, t } from "./core/tongue.js";
import { span } from "./core/words.js";
import { say, show } from "./paint.js";

let deed = null;

/** One notice on top of the screen, with one button where there is something to do. */
export function notice(words, deedWords = "", work = null) {
  deed = work;
  say("notice-words", words);
  say("notice-deed", deedWords);
  show("notice-deed", Boolean(work));
  show("notice", true);
}

export const hush = () => show("notice", false);

export function noticeDeed() {
  hush();
  return deed?.();
}

export const clockWentBack = (ms) =>
  notice(t("This phone's clock went back {span} while Sandtime was closed. Times may be off until there is signal.", { span: span(ms) }));

export const noMemory = () => notice(t("This browser lets Sandtime keep nothing on the phone (a private window?). Taps are lost when it closes."));

export const emptied = () =>
  notice(t("The browser had emptied Sandtime's memory on this phone. All that the server had heard is back; taps that were not sent are gone."));

/** A clock that jumped: back is put right at once; ahead may have been a sleep, so the person can say it was not. */
export function jumped(ms, paint) {
  if (ms < 0) return notice(t("This phone's clock was set back {span}. The film clocks did not move.", { span: span(-ms) }));
  if (ms < 60_000 || document.visibilityState !== "visible") return;
  const by = { span: span(ms) };
  notice(t("This phone slept, or its clock jumped ahead {span}.", by), t("It did not sleep: take {span} off", by), () => {
    clock.shift(-ms);
    paint();
  });
}

/** A file given to the phone, among its downloads. */
export function download(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(link.href), 60_000);
}

export function otherTheme() {
  const { dataset } = document.documentElement;
  dataset.theme = dataset.theme === "dark" ? "sun" : "dark";
  sayTheme();
  localStorage.setItem("theme", dataset.theme);
}

const sayTheme = () => say("theme-deed", document.documentElement.dataset.theme === "dark" ? t("Sun theme") : t("Dark theme"));

/** Once the screen stands: ask to keep the storage, take up the service worker. */
export async function settle() {
  sayTheme();
  navigator.serviceWorker?.register("/sw.js").then((made) => made && watchWorker(made), () => {});
  if (!navigator.serviceWorker) notice(t("Over plain http Sandtime cannot start without signal. Open it over https."));
  const kept = await navigator.storage?.persist?.().catch(() => false);
  const { usage = 0, quota = 0 } = (await navigator.storage?.estimate?.().catch(() => ({}))) || {};
  const [used, most] = [decimal(`${Math.ceil(usage / 1e5) / 10}`), Math.round(quota / 1e6)];
  const share = quota ? ` ${t("{used} MB of {most} MB used.", { used, most })}` : "";
  say("storage-words", `${kept ? t("The browser promised to keep Sandtime's memory.") : t("The browser may empty Sandtime's memory when the phone is full. Put Sandtime on the home screen.")}${share}`);
}

function watchWorker(registration) {
  const offer = () => {
    if (registration.waiting && navigator.serviceWorker.controller) {
      notice(t("A new version of Sandtime is on this phone."), t("Use it now"), () => registration.waiting.postMessage("use it now"));
    }
  };
  let asked = Boolean(navigator.serviceWorker.controller);
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (asked) location.reload();
    asked = true;
  });
  navigator.serviceWorker.addEventListener("message", ({ data }) => data?.go && (location.hash = data.go)); // a notification was tapped
  registration.addEventListener("updatefound", () => registration.installing?.addEventListener("statechange", offer));
  offer();
}
