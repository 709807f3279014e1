"""The page that explains how a phone comes to trust the box: plain http, a port of its own, no shop data."""

import contextlib
import http.server
import io
import socket
import socketserver
import threading
from collections import Counter

import segno
from django.http import HttpRequest
from django.template.loader import render_to_string
from django.utils import translation

from ..base.i18n import t
from ..shell.bundle import SHEET, build
from .certificates import Files, bracketed

AUTHORITY = "/sandtime-authority.crt"
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


MOST, MOST_OF_ONE = 32, 8  # visitors at once, in all and from one address; each has a thread


class Page(socketserver.ThreadingTCPServer):
    """The page's server; visitors beyond its limits are disconnected at once.

    `update` sets the current names and files, at the start and when they change."""

    daemon_threads = allow_reuse_address = True
    request_queue_size = 64

    def __init__(self, host: str, port: int, https_port: int):
        self.address_family = socket.AF_INET6 if ":" in host else socket.AF_INET
        super().__init__((host, port), _Answer)
        self.https_port = https_port
        self.sheet = (build()[SHEET] + render_to_string("lan.css")).encode()
        self.names: list[str] = []
        self.files: Files | None = None
        self.visitors, self.lock = Counter(), threading.Lock()

    def verify_request(self, request, client_address) -> bool:
        with self.lock:
            if self.visitors.total() >= MOST or self.visitors[client_address[0]] >= MOST_OF_ONE:
                return False
            self.visitors[client_address[0]] += 1
            return True

    def process_request_thread(self, request, client_address):
        try:
            super().process_request_thread(request, client_address)
        finally:
            with self.lock:
                self.visitors[client_address[0]] -= 1
                self.visitors += Counter()  # drops addresses at zero

    def handle_error(self, request, client_address):
        """Say nothing: a visitor left in the middle."""

    def update(self, names: list[str], files: Files) -> None:
        self.names, self.files = names, files

    def start(self) -> None:
        threading.Thread(target=self.serve_forever, daemon=True, name="lan page").start()

    def address_for(self, host: str) -> str:
        """The https URL for a phone that asked for `host`: with the same name where the certificate contains it."""
        name = host.rpartition(":")[0].strip("[]") if host.rpartition(":")[2].isdigit() else host.strip("[]")
        return f"https://{bracketed(name if name in self.names else self.names[0])}:{self.https_port}/"


class _Answer(http.server.BaseHTTPRequestHandler):
    server: Page
    server_version, sys_version = "Sandtime", ""
    timeout = 10
    whole_s = 20  # the time limit of a socket begins anew with each octet

    def setup(self):
        super().setup()
        self.end = threading.Timer(self.whole_s, self._cut)
        self.end.daemon = True
        self.end.start()

    def finish(self):
        self.end.cancel()
        super().finish()

    def _cut(self):
        with contextlib.suppress(OSError):
            self.request.shutdown(socket.SHUT_RDWR)

    def do_GET(self):
        with translation.override(locale_for(self.headers.get("Accept-Language", ""))):
            self._answer()

    def _answer(self):
        path = self.path.partition("?")[0]
        answers = {
            "/": ("text/html; charset=utf-8", self._page),
            "/style.css": ("text/css", lambda: self.server.sheet),
            "/qr.svg": ("image/svg+xml", lambda: qr_svg(self._address())),
            AUTHORITY: ("application/x-x509-ca-cert", lambda: self.server.files.authority),
        }
        missing = f"{t('There is nothing here. Try / instead.')}\n"
        kind, content = answers.get(path, ("text/plain; charset=utf-8", missing.encode))
        self._send(200 if path in answers else 404, kind, content())

    do_HEAD = do_GET  # noqa: N815

    def log_message(self, *said):
        """Say nothing."""

    def _send(self, status: int, kind: str, body: bytes) -> None:
        self.send_response(status)
        headers = {"Content-Type": kind, "Content-Length": str(len(body)), "Cache-Control": "no-store"}
        headers |= {"Content-Security-Policy": POLICY, "X-Content-Type-Options": "nosniff"}
        for name, value in headers.items():
            self.send_header(name, value)
        self.end_headers()
        if self.command != "HEAD":
            self.wfile.write(body)

    def _address(self) -> str:
        return self.server.address_for(self.headers.get("Host", ""))

    def _page(self) -> bytes:
        address, files = self._address(), self.server.files
        values = {"address": address, "authority": AUTHORITY, "fingerprint": files.fingerprint}
        return render_to_string("lan.html", values).encode()


def locale_for(accepted: str) -> str:
    """The locale for an Accept-Language header."""
    request = HttpRequest()
    request.META["HTTP_ACCEPT_LANGUAGE"] = accepted
    return translation.get_language_from_request(request)


def qr_svg(address: str) -> bytes:
    """A QR of an address, dark on light with its quiet zone, as SVG."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", scale=8, border=4, light="#fff", xmldecl=False)
    return out.getvalue()


def qr_text(address: str) -> str:
    """The same for a terminal."""
    out = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out, border=2, compact=True)
    return out.getvalue()
