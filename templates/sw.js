// The service worker: keeps the shell on the phone, so that the tool starts with no signal.
// One version over the shell and every file; it waits until the person taps to use it.
const VERSION = "{{ version }}";
const CACHE = "sandtime-" + VERSION;
const FILES = ["/", "/app.webmanifest",{% for file in files %} "{{ file|escapejs }}",{% endfor %}];

self.addEventListener("install", (event) => {
  event.waitUntil(shortcut(event).catch(() => {}));
  event.waitUntil(caches.open(CACHE).then((cache) => cache.addAll(FILES.map((file) => new Request(file, { cache: "no-cache" })))));
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

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== location.origin) return;
  const wanted = request.mode === "navigate" && url.pathname === "/" ? "/" : url.pathname;
  if (FILES.includes(wanted)) event.respondWith(kept(wanted, request));
});

/** Where the browser can, it reads what is kept without waking this worker first. */
async function shortcut(event) {
  const source = { cacheName: CACHE };
  await event.addRoutes?.(["/", "/static/*"].map((pathname) => ({ condition: { urlPattern: { pathname } }, source })));
}

async function kept(wanted, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(wanted)) || fetch(request);
}
