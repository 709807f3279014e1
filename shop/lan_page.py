"""The page that a phone reads before it can trust the box: over plain http, on a port of its own, of no shop."""

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

from .joined import SHEET, made
from .lan import Files, in_address
from .tongues import t

AUTHORITY = "/sandtime-authority.crt"
POLICY = (
    "default-src 'none'; style-src 'self'; img-src 'self'; base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)


MOST, MOST_OF_ONE = 32, 8  # visitors at once, in all and from one address; each has a thread


class Page(socketserver.ThreadingTCPServer):
    """The page's server: who comes while it has its most visitors is let go at once.

    `tell` gives it the names and files of the moment, at the start and when they change."""

    daemon_threads = allow_reuse_address = True
    request_queue_size = 64

    def __init__(self, host: str, port: int, https_port: int):
        self.address_family = socket.AF_INET6 if ":" in host else socket.AF_INET
        super().__init__((host, port), _Answer)
        self.https_port = https_port
        self.sheet = (made()[SHEET] + render_to_string("lan.css")).encode()
        self.names: list[str] = []
        self.files: Files | None = None
        self.here, self.turn = Counter(), threading.Lock()

    def verify_request(self, request, client_address) -> bool:
        with self.turn:
            if self.here.total() >= MOST or self.here[client_address[0]] >= MOST_OF_ONE:
                return False
            self.here[client_address[0]] += 1
            return True

    def process_request_thread(self, request, client_address):
        try:
            super().process_request_thread(request, client_address)
        finally:
            with self.turn:
                self.here[client_address[0]] -= 1
                self.here += Counter()  # who is gone is forgotten

    def handle_error(self, request, client_address):
        """Say nothing: a visitor left in the middle."""

    def tell(self, names: list[str], files: Files) -> None:
        self.names, self.files = names, files

    def start(self) -> None:
        threading.Thread(target=self.serve_forever, daemon=True, name="lan page").start()

    def address_for(self, host: str) -> str:
        """The https address for a phone that asked for `host`: the same name where the certificate holds it."""
        name = host.rpartition(":")[0].strip("[]") if host.rpartition(":")[2].isdigit() else host.strip("[]")
        return f"https://{in_address(name if name in self.names else self.names[0])}:{self.https_port}/"


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
        with translation.override(read_by(self.headers.get("Accept-Language", ""))):
            self._answer()

    def _answer(self):
        path = self.path.partition("?")[0]
        answers = {
            "/": ("text/html; charset=utf-8", self._page),
            "/style.css": ("text/css", lambda: self.server.sheet),
            "/qr.svg": ("image/svg+xml", lambda: drawn(self._address())),
            AUTHORITY: ("application/x-x509-ca-cert", lambda: self.server.files.authority),
        }
        nothing = f"{t('There is nothing here. Try / instead.')}\n"
        kind, said = answers.get(path, ("text/plain; charset=utf-8", nothing.encode))
        self._say(200 if path in answers else 404, kind, said())

    do_HEAD = do_GET  # noqa: N815

    def log_message(self, *said):
        """Say nothing."""

    def _say(self, status: int, kind: str, body: bytes) -> None:
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
        said = {"address": address, "authority": AUTHORITY, "fingerprint": files.fingerprint}
        return render_to_string("lan.html", said).encode()


def read_by(accepted: str) -> str:
    """The tongue for what a browser says in Accept-Language."""
    request = HttpRequest()
    request.META["HTTP_ACCEPT_LANGUAGE"] = accepted
    return translation.get_language_from_request(request)


def drawn(address: str) -> bytes:
    """A QR of an address, dark on light with its quiet zone, as SVG."""
    out = io.BytesIO()
    segno.make(address, error="m", micro=False).save(out, kind="svg", scale=8, border=4, light="#fff", xmldecl=False)
    return out.getvalue()


def in_blocks(address: str) -> str:
    """The same for a terminal."""
    out = io.StringIO()
    segno.make(address, error="m", micro=False).terminal(out, border=2, compact=True)
    return out.getvalue()
