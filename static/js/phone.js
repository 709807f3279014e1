// This phone: its storage, its theme, new versions, and what it must say about its clock.
import * as clock from "./clock.js";
import * as shop from "./shop.js";
import { decimal, t } from "./core/tongue.js";
import { span } from "./core/words.js";
import { say, show } from "./paint.js";

const LOOK_MS = 3 * 3_600_000; // a page that stays open asks so often for a new version
const GAP_MS = 30_000; // and never more often than this
let deed = null;
let closed = null;
let registration = null;
let lookedAt = 0;
let offered = null; // the waiting version that was said to be here
let ends = false; // the page begins anew as soon as no tap is only on it

/** One notice on top of the screen, with one button where there is something to do; `over` is called once it was answered. */
export function notice(words, deedWords = "", work = null, over = null) {
  [deed, closed] = [work, over];
  say("notice-words", words);
  say("notice-deed", deedWords);
  show("notice-deed", Boolean(work));
  show("notice", true);
}

export function hush() {
  show("notice", false);
  closed?.();
}

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

/** Once the screen stands: take up the service worker, say what is true of the storage. */
export function settle() {
  sayTheme();
  sayStorage();
  const held = navigator.serviceWorker;
  if (!held) return notice(t("Over plain http Sandtime cannot start without signal. Open it over https."));
  let asked = Boolean(held.controller);
  held.addEventListener("controllerchange", () => {
    if (asked) reload();
    asked = true;
  });
  held.addEventListener("message", ({ data }) => data?.go && (location.hash = data.go)); // a notification was tapped
  held.register("/sw.js").then((made) => (registration = made), () => {});
  addEventListener("online", look);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && look());
}

/** The browser is asked to keep what it holds, once a tap was kept, once in a tab and once from the home screen: some
 *  browsers put a question to the person, and nothing may wait for the answer. */
export function keepForGood() {
  const place = matchMedia("(display-mode: standalone)").matches ? "home screen" : "tab";
  if (shop.meta.keeping === place) return;
  shop.note({ keeping: place });
  navigator.storage?.persist?.().then(sayStorage, () => {});
}

async function sayStorage() {
  const { storage } = navigator;
  const kept = await storage?.persisted?.().catch(() => false);
  const { usage = 0, quota = 0 } = (await storage?.estimate?.().catch(() => ({}))) || {};
  const [used, most] = [decimal(`${Math.ceil(usage / 1e5) / 10}`), Math.round(quota / 1e6)];
  const share = quota ? ` ${t("{used} MB of {most} MB used.", { used, most })}` : "";
  say("storage-words", `${kept ? t("The browser promised to keep Sandtime's memory.") : t("The browser may empty Sandtime's memory when the phone is full. Put Sandtime on the home screen.")}${share}`);
}

const rings = () => document.body.dataset.ringing === "yes";

/** Ask whether there is a new version; never while something rings. */
export function look() {
  if (!registration || rings() || (lookedAt && performance.now() - lookedAt < GAP_MS)) return;
  lookedAt = performance.now();
  registration.update().catch(() => {});
}

/** Called at every tick: a new version is offered, or taken by a page that is idle. */
export function watch(idle) {
  if (ends) reload();
  if (!registration || rings()) return;
  if (performance.now() - lookedAt > LOOK_MS) look();
  const { waiting } = registration;
  if (!waiting || !navigator.serviceWorker.controller || (waiting === offered && !idle)) return;
  const use = () => waiting.postMessage("use it now");
  offered = waiting;
  if (idle) use();
  else notice(t("A new version of Sandtime is on this phone."), t("Use it now"), use);
}

/** The page begins anew; while taps are only on it, once they are safe. */
export function reload() {
  ends = true;
  if (!shop.onlyHere().length) location.reload();
}
