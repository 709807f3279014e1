{% load static %}// The service worker: keeps the shell on the phone, so that the tool starts with no signal.
// One version over the shell and every file; it waits until the person taps to use it.
const VERSION = "{{ version }}";
const CACHE = "sandtime-" + VERSION;
const FILES = ["/", "/app.webmanifest",{% for file in files %} "{{ file|escapejs }}",{% endfor %}];
const LATE = [{% for file in late %}"{{ file|escapejs }}", {% endfor %}];
// What a push message says that says nothing itself: one worker for all tongues, so the phone's own language is asked.
const FALLBACK = { en: ["Something rings", "Open Sandtime."], es: ["Algo suena", "Abre Sandtime."], de: ["Etwas klingelt", "Sandtime öffnen."] };
let late = null;

self.addEventListener("install", (event) => {
  event.waitUntil(shortcut(event).catch(() => {}));
  event.waitUntil(hold());
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys()
      .then((names) => Promise.all(names.filter((name) => name.startsWith("sandtime-") && name !== CACHE).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("message", (event) => {
  if (event.data === "use it now") self.skipWaiting();
});

self.addEventListener("push", (event) => event.waitUntil(ring(event.data)));

self.addEventListener("notificationclick", (event) => {
  event.notification.close();
  event.waitUntil(opened(event.notification.data?.url));
});

self.addEventListener("pushsubscriptionchange", (event) => event.waitUntil(renewed(event)));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  event.waitUntil((late ||= holdLate()).catch(() => (late = null)));
  if (request.method !== "GET" || url.origin !== location.origin) return;
  const wanted = request.mode === "navigate" && url.pathname === "/" ? "/" : url.pathname + url.search;
  if (FILES.includes(wanted) || LATE.includes(wanted)) event.respondWith(kept(wanted, request));
});

/** Where the browser can, it reads what is kept without waking this worker first. */
async function shortcut(event) {
  const source = { cacheName: CACHE };
  await event.addRoutes?.(["/", "/static/*"].map((pathname) => ({ condition: { urlPattern: { pathname } }, source })));
}

/** What the phone starts with, and the late markup in the tongue that its shell came in. */
async function hold() {
  const cache = await caches.open(CACHE);
  await cache.addAll(FILES.map(fresh));
  const shell = await (await cache.match("/")).text();
  await cache.addAll([...shell.matchAll(/data-(?:rooms|cards)="([^"]+)"/g)].map(([, file]) => fresh(file)));
}

const fresh = (file) => new Request(file, { cache: "no-cache" });

/** What few need at once is fetched when the page already lives under this worker, and asked for again until it is there. */
async function holdLate() {
  const cache = await caches.open(CACHE);
  const held = await Promise.all(LATE.map((file) => cache.match(file)));
  await cache.addAll(LATE.filter((file, at) => !held[at]).map(fresh));
}

async function kept(wanted, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(wanted)) || fetch(request);
}

/** A push message is always shown: a browser ends the subscription of one that is not.  Where the same ring stands
 *  already, or the page is before the person and rings itself, it makes no second noise. */
async function ring(data) {
  const own = navigator.language.slice(0, 2);
  const tongue = own in FALLBACK ? own : "en";
  const [something, open] = FALLBACK[tongue];
  const { title = something, body = open, tag = "ring", navigate = "/#floor", lang = tongue } = said(data);
  const [standing, pages] = await Promise.all([self.registration.getNotifications({ tag }), windows()]);
  const rung = standing.length > 0 || pages.some((page) => page.visibilityState === "visible");
  const loud = rung ? { silent: true } : { vibrate: [400, 150, 400], requireInteraction: true };
  if (!rung) await remember(tag, pages).catch(() => {});
  await self.registration.showNotification(title, { body, tag, icon: "{% static "icons/icon-192.png" %}", lang, data: { url: navigate }, ...loud });
}

/** What rang by push makes no noise again when the page comes to it: told to pages that are open, kept for those to come. */
async function remember(tag, pages) {
  for (const page of pages) page.postMessage({ rang: tag });
  const kept = await caches.open("rung");
  await kept.put(`/rung/${encodeURIComponent(tag)}`, new Response(""));
  const old = await kept.keys();
  for (const request of old.slice(0, -100)) await kept.delete(request);
}

function said(data) {
  try {
    return data.json().notification || {};
  } catch {
    return {};
  }
}

/** The app before the person, at the panel: an open page goes there without being loaded anew. */
async function opened(address = "/") {
  const { hash } = new URL(address, location.origin);
  const pages = await windows();
  const page = pages.find((one) => one.visibilityState === "visible") || pages[0];
  if (!page) return self.clients.openWindow(`/${hash}`);
  page.postMessage({ go: hash });
  return page.focus();
}

const windows = () => self.clients.matchAll({ type: "window", includeUncontrolled: true });

/** The browser changed this phone's address at the push service: tell the server. */
async function renewed({ newSubscription, oldSubscription }) {
  const made = newSubscription || (await self.registration.pushManager.subscribe(oldSubscription.options));
  const { endpoint, keys } = made.toJSON();
  await fetch("/push/subscribe", { method: "POST", headers: { "X-Sandtime": "1" }, body: new URLSearchParams({ endpoint, ...keys }) });
}
