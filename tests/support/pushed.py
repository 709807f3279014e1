"""A push service on loopback: it answers as it is told, keeps what came, and reads it with the phone's own key."""

import http.server
import json
import os
import threading
import time

import http_ece
from cryptography.hazmat.primitives.asymmetric import ec

from shop.push import webpush_crypto

AUTH = bytes(range(16))


class Service(http.server.ThreadingHTTPServer):
    """`answers[path]` is a list of (status, headers), the last one for good; without one 201.  "hang" never answers."""

    daemon_threads = True

    def __init__(self):
        super().__init__(("127.0.0.1", 0), _Road)
        self.reader = ec.generate_private_key(ec.SECP256R1())
        self.answers: dict[str, list] = {}
        self.came: list[tuple[str, dict, bytes]] = []
        self.over = threading.Event()
        threading.Thread(target=self.serve_forever, kwargs={"poll_interval": 0.01}, daemon=True).start()

    @property
    def host(self) -> str:
        return f"127.0.0.1:{self.server_port}"

    def keys(self, path: str = "/one") -> dict:
        """A subscription's fields as a browser gives them."""
        point, auth = (webpush_crypto._b64url(octets) for octets in (webpush_crypto.public_point(self.reader), AUTH))
        return {"endpoint": f"http://{self.host}{path}", "p256dh": point, "auth": auth}

    def heard(self, path: str = "") -> list[dict]:
        """The messages that came and were taken on, opened with the phone's key."""
        return [json.loads(self.opened(body)) for at, _, body in self.came if at.startswith(path)]

    def opened(self, body: bytes) -> bytes:
        return http_ece.decrypt(body, private_key=self.reader, auth_secret=AUTH, version="aes128gcm")

    def end(self):
        self.over.set()
        self.shutdown()
        self.server_close()


class _Road(http.server.BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        mine = self.server.answers.get(self.path, [(201, {})])
        status, headers = mine.pop(0) if len(mine) > 1 else mine[0]
        self.server.came.append((self.path, dict(self.headers), body))
        if status == "hang":
            self.server.over.wait(30)
            return
        self.send_response(status)
        for name, value in {"Content-Length": "0", **headers}.items():
            self.send_header(name, value)
        self.end_headers()

    def log_message(self, *args):
        """Say nothing."""


def until(true, within_s: float = 15):
    """Wait until something is true."""
    end = time.monotonic() + within_s
    while not true():
        assert time.monotonic() < end, f"not within {within_s} s (process {os.getpid()})"
        time.sleep(0.02)
