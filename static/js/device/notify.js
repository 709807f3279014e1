// Notifications, shown through the service worker: the only way that every phone knows.
export const can = () => "Notification" in globalThis && Boolean(navigator.serviceWorker);

/** "granted", "denied", "default", or "none" where the browser has none. */
export const state = () => (can() ? Notification.permission : "none");

/** Must be called from a tap. */
export const ask = () => (can() ? Notification.requestPermission() : Promise.resolve("none"));

/** Show one, but not where a push message has shown the same. */
export async function show(title, body, tag, url) {
  if (state() !== "granted") return;
  const worker = await navigator.serviceWorker.getRegistration();
  if ((await worker?.getNotifications({ tag }).catch(() => []))?.length) return;
  const options = { body, tag, requireInteraction: true, data: { url }, icon: "/static/icons/icon-192.png" };
  await worker?.showNotification(title, options).catch(() => {});
}

export async function take(tag) {
  const worker = can() && (await navigator.serviceWorker.getRegistration());
  for (const shown of (await worker?.getNotifications?.({ tag })) ?? []) shown.close();
}
