"""Requests a second through the bridge, beside a bare ASGI callable under the same connection code in the same run.

Four clients with one kept connection each ask `/clock`, which does nothing: what is measured is the road to Django and
back.  Then the same beside sixteen strangers whose bodies never come, and beside twenty who take nothing of what they
asked for: a thread held by one of them would show.  SANDTIME_BENCH_TURNS (2) makes it longer.
"""

import contextlib
import socket
import subprocess
import sys
import time
import urllib.request

from tests.conftest import ROOT, free_port
from tests.support.strangers import FORM, Stranger, head

from .rig import Row, folder, median, serving
from .sync_rate import EMPTY, TURNS, _rate

BARE = """
import os, uvicorn
os.environ["DJANGO_SETTINGS_MODULE"] = "shop.settings"
import django
django.setup()
from shop.server import wire
HEADERS = [(b"content-type", b"text/plain"), (b"content-length", b"13")]
async def bare(scope, receive, send):
    await send({{"type": "http.response.start", "status": 200, "headers": HEADERS}})
    await send({{"type": "http.response.body", "body": b"1795941942718"}})
plain = {{"http": wire.Wire, "loop": "shop.server.serving:Loop", "lifespan": "off"}}
plain |= {{"log_config": None, "access_log": False}}
uvicorn.run(bare, port={port}, **plain)
"""


def measure() -> list[Row]:
    with folder() as where, serving(where) as server, _bare() as bare:
        rates = {"bare": [], "alone": [], "slow": [], "deaf": []}
        _rate(server.address, EMPTY, 0, True)
        for _ in range(TURNS):
            rates["bare"].append(_rate(bare, EMPTY, 0, True))
            rates["alone"].append(_rate(server.address, EMPTY, 0, True))
            with _crowd(server, head("/begin", FORM, "Content-Length: 100000") + b"zone=", 16):
                rates["slow"].append(_rate(server.address, EMPTY, 0, True))
            asks = head("/static/vendor/jsQR.js", "Accept-Encoding: identity", method="GET") * 60
            with _crowd(server, asks, 20, takes=4096):
                rates["deaf"].append(_rate(server.address, EMPTY, 0, True))
    ceiling = median(rates["bare"])
    said = {"alone": "empty view", "slow": "beside slow bodies", "deaf": "beside readers who take nothing"}
    return [Row(words, median(rates[name]), "requests/s", ceiling) for name, words in said.items()]


@contextlib.contextmanager
def _crowd(server, said: bytes, count: int, takes: int = 0):
    came = [Stranger(server, said, takes) for _ in range(count)]
    try:
        yield
    finally:
        for one in came:
            one.close()


@contextlib.contextmanager
def _bare():
    port = free_port()
    process = subprocess.Popen([sys.executable, "-c", BARE.format(port=port)], cwd=ROOT)
    try:
        for _ in range(200):
            with contextlib.suppress(OSError):
                socket.create_connection(("127.0.0.1", port)).close()
                break
            time.sleep(0.05)
        urllib.request.urlopen(f"http://localhost:{port}/", timeout=10).read()
        yield f"http://localhost:{port}/"
    finally:
        process.terminate()
        process.wait()
