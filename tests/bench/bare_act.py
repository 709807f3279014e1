"""The barest server that keeps an act: the same kind of process, one row and one number a request, nothing checked.

python -m tests.bench.bare_act PORT FILE      on SQLite; with DATABASE_URL on PostgreSQL instead
"""

import contextlib
import itertools
import json
import os
import sqlite3
import sys
import threading

import uvicorn

from shop.base.database import sqlite
from shop.base.limits import Limits
from shop.server.bridge import Bridge

MAKE = (
    "CREATE TABLE IF NOT EXISTS bare_shop (id integer PRIMARY KEY, seq integer)",
    "CREATE TABLE IF NOT EXISTS bare_act (shop integer, seq integer, body text, PRIMARY KEY (shop, seq))",
)
SHOPS = 1_000
SHOP = "INSERT INTO bare_shop (id, seq) VALUES ({}, 0) ON CONFLICT (id) DO NOTHING"
STAND = "SELECT seq FROM bare_shop WHERE id = {}"
KEEP = ("INSERT INTO bare_act (seq, shop, body) VALUES ({}, {}, {})", "UPDATE bare_shop SET seq = {} WHERE id = {}")


class Keeping:
    """A WSGI callable: the body that comes in is kept under the next number of a shop, of each in turn."""

    def __init__(self, file: str, address: str):
        self.file, self.address, self.here, self.next = file, address, threading.local(), itertools.count()
        self.turn = contextlib.nullcontext() if address else threading.Lock()
        place, lock = ("%s", " FOR UPDATE") if address else ("?", "")
        self.stand, *self.keep = (words.format(*[place] * words.count("{}")) for words in (STAND, *KEEP))
        self.stand += lock
        for words in (*MAKE, *(SHOP.format(nth) for nth in range(SHOPS))):
            self._wire().execute(words)

    def __call__(self, environ, start_response):
        body = environ["wsgi.input"].read(int(environ.get("CONTENT_LENGTH") or 0))
        said = json.dumps({"seq": self._kept(body.decode()) if body else 0}).encode()
        start_response("200 OK", [("Content-Type", "application/json"), ("Content-Length", str(len(said)))])
        return [said]

    def _kept(self, body: str) -> int:
        json.loads(body)
        wire, shop = self._wire(), next(self.next) % SHOPS
        with self.turn:
            wire.execute("BEGIN" if self.address else "BEGIN IMMEDIATE")
            seq = wire.execute(self.stand, (shop,)).fetchone()[0] + 1
            wire.execute(self.keep[0], (seq, shop, body))
            wire.execute(self.keep[1], (seq, shop))
            wire.execute("COMMIT")
        return seq

    def _wire(self):
        """One connection a thread, set as Sandtime's own."""
        if not hasattr(self.here, "wire"):
            self.here.wire = self._connected()
        return self.here.wire

    def _connected(self):
        if self.address:
            import psycopg

            return psycopg.connect(self.address, autocommit=True)
        wire = sqlite3.connect(self.file, isolation_level=None, check_same_thread=False)
        wire.executescript(sqlite(self.file)["OPTIONS"]["init_command"])
        return wire


if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")  # the bridge asks it whether a proxy is believed
    app = Bridge(Keeping(sys.argv[2], os.environ.get("DATABASE_URL", "")), Limits())
    uvicorn.run(app, port=int(sys.argv[1]), log_level="error", lifespan="off")
