"""The bare ceilings: the least that a page can be and still do the same kind of thing."""

import http.server
import threading

HEAD = (
    '<!doctype html><html lang="en"><meta charset="utf-8">'
    '<meta name="viewport" content="width=device-width"><title>Bare</title>'
)
PAGES = {
    "/": f"{HEAD}<p>Blank</p><script>navigator.serviceWorker.register('/sw.js')</script>",
    "/tap": f"{HEAD}<button style='display:block;width:300px;height:200px'>Tap</button><p id=said>0</p><script>"
    "document.querySelector('button').onclick = () => { said.textContent = Number(said.textContent) + 1; }</script>",
    "/app": f"{HEAD}<link rel=stylesheet href=/app.css><p id=said></p><script type=module src=/app.js></script>",
    "/tick": f"{HEAD}<p id=said>0</p><script>"
    "setInterval(() => { said.textContent = Number(said.textContent) + 1; }, 1000)</script>",
}
APP_SCRIPT = """
const opening = indexedDB.open("bare", 1);
opening.onupgradeneeded = () => opening.result.createObjectStore("kept").put("Kept", 1);
opening.onsuccess = () => {
  const reading = opening.result.transaction("kept").objectStore("kept").getAll();
  reading.onsuccess = () => {
    said.textContent = reading.result;
    performance.mark("bare-ready");
  };
};
"""
WORKER = """
const FILES = ["/", "/app", "/app.js", "/app.css"];
self.addEventListener("install", (event) => event.waitUntil(caches.open("bare").then((cache) => cache.addAll(FILES))));
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const kept = caches.open("bare").then((cache) => cache.match(event.request));
  event.respondWith(kept.then((found) => found || fetch(event.request)));
});
"""
OTHERS = {
    "/app.js": ("text/javascript", APP_SCRIPT),
    "/app.css": ("text/css", "p { font-size: 2rem; }"),
    "/sw.js": ("text/javascript", WORKER),
}


class Bare(http.server.BaseHTTPRequestHandler):
    """Serves the pages above, and nothing else."""

    def do_GET(self):
        kind, body = OTHERS.get(self.path, ("text/html", PAGES.get(self.path)))
        self.send_response(200 if body else 404)
        self.send_header("Content-Type", f"{kind}; charset=utf-8")
        self.end_headers()
        self.wfile.write((body or "").encode())

    def log_message(self, *args):
        """Say nothing."""


class BareSite:
    """`with BareSite() as site: site.address`; `stop()` takes it off the air early."""

    def __enter__(self):
        self.server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), Bare)
        self.address = f"http://localhost:{self.server.server_port}/"
        threading.Thread(target=self.server.serve_forever, daemon=True).start()
        return self

    def stop(self):
        if self.server:
            self.server.shutdown()
            self.server.server_close()
            self.server = None

    def __exit__(self, *error):
        self.stop()
