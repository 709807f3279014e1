// What the Book says of this phone, its storage and its theme, and what its buttons do.
import * as events from "../data/events.js";
import * as shop from "../data/state.js";
import { decimal, t } from "../core/base/translate.js";
import { say } from "../ui/dom.js";

export function start() {
  events.listen("safe", keepForGood);
  sayTheme();
  sayHow();
  sayStorage();
}

export function otherTheme() {
  const { dataset } = document.documentElement;
  dataset.theme = dataset.theme === "dark" ? "sun" : "dark";
  sayTheme();
  localStorage.setItem("theme", dataset.theme);
}

const sayTheme = () =>
  say("theme-deed", document.documentElement.dataset.theme === "dark" ? t("Sun theme") : t("Dark theme"));

/** Whether the cards show how a step is done. */
const sayHow = () =>
  document
    .getElementById("how-is-on")
    .setAttribute("aria-pressed", String(document.documentElement.dataset.how !== "off"));

export function switchHow() {
  const { dataset } = document.documentElement;
  dataset.how = dataset.how === "off" ? "on" : "off";
  sayHow();
  localStorage.setItem("how", dataset.how);
}

/** The browser is asked to keep what it holds, once a tap was kept, once in a tab and once from the home screen: some
 *  browsers put a question to the person, and nothing may wait for the answer. */
function keepForGood() {
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
  say(
    "storage-words",
    `${kept ? t("The browser promised to keep Sandtime's memory.") : t("The browser may empty Sandtime's memory when the phone is full. Put Sandtime on the home screen.")}${share}`,
  );
}
