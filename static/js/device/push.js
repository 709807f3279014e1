// Push: this browser's leave to be told by the server through its push service.
import { t } from "../core/base/translate.js";

/** Whether this browser can be told at all. */
export const can = () => Boolean(navigator.serviceWorker && globalThis.PushManager && globalThis.Notification);

/** Whether the person forbade it in the browser's settings, where only they can allow it again. */
export const forbidden = () => globalThis.Notification?.permission === "denied";

/** Rings that came by push, with noise, to this phone: a page that comes to them later makes none. */
const rung = new Set(); // keys of rings

/** Whether a push message rang for this key already. */
export const hasRung = (key) => rung.has(key);

/** Learn what came before this page and what comes while it is there. */
export async function listen() {
  navigator.serviceWorker?.addEventListener("message", ({ data }) => data?.rang && rung.add(data.rang));
  const kept = await globalThis.caches?.open("rung");
  for (const { url } of (await kept?.keys()) || [])
    rung.add(decodeURIComponent(new URL(url).pathname.slice("/rung/".length)));
}

/** This browser's subscription as the server wants it, {endpoint, p256dh, auth}, or null. */
export async function subscription() {
  const browserPush = await pushHere();
  return described(await browserPush?.getSubscription());
}

/** Ask the person, then the browser's push service, for a subscription to the server's key.  Needs a tap. */
export async function subscribe(key) {
  if ((await Notification.requestPermission()) !== "granted")
    throw new Error(t("The browser was not allowed to show notifications. Nothing was changed."));
  const browserPush = await pushHere();
  if (!browserPush) throw new Error(t("Sandtime is not yet kept on this phone. Try again in a minute."));
  const wanted = octets(key);
  const old = await browserPush.getSubscription();
  if (old && !same(new Uint8Array(old.options.applicationServerKey || []), wanted)) await old.unsubscribe();
  const made = await browserPush.subscribe({ userVisibleOnly: true, applicationServerKey: wanted }).catch((why) => {
    throw new Error(
      t("This browser's push service did not take the phone on ({why}). Nothing was changed.", { why: why.message }),
    );
  });
  return described(made);
}

export async function unsubscribe() {
  const browserPush = await pushHere();
  await (await browserPush?.getSubscription())?.unsubscribe();
}

function described(pushSubscription) {
  if (!pushSubscription) return null;
  const { endpoint, keys } = pushSubscription.toJSON();
  return { endpoint, p256dh: keys.p256dh, auth: keys.auth };
}

const pushHere = async () => (await navigator.serviceWorker?.getRegistration())?.pushManager;

const octets = (letters) =>
  Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (sign) => sign.charCodeAt(0));

const same = (one, other) => one.length === other.length && one.every((octet, at) => octet === other[at]);
