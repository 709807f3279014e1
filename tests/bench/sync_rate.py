"""Sync requests a second that `manage.py serve` answers, one act and twenty acts in each, beside its emptiest view.

Four clients, each with one kept connection, from a process of their own; every act is new, is folded into a panel of
at most 40 acts and comes back as a changed fragment.  `as a phone` is the page's own road: a form in, cards drawn
by Django out, gzip.  Bare is `/clock`, asked by the same clients in the same run.  On SQLite, then on a PostgreSQL of
its own; both put on the disk what they acknowledge.  SANDTIME_BENCH_TURNS (2) makes it longer.
"""

import gzip
import json
import multiprocessing
import os
import re
import socket
import threading
import time
from urllib.parse import quote_plus, urlsplit

from .rig import Row, calm, databases, folder, median, serving
from .seed import COOKIE, SURFACER, Seeder, _now

CLIENTS = 4
SECONDS = 3
TURNS = int(os.environ.get("SANDTIME_BENCH_TURNS", "2"))
ACTS_A_PANEL = 40
JSON, FORM, EMPTY = "json", "form", "clock"
CURSOR = re.compile(rb'"cursor": (\d+)|data-cursor="(\d+)"')
CASES = [
    ("one act, distinct shops", JSON, 1, True),
    ("one act, one shop", JSON, 1, False),
    ("twenty acts, distinct shops", JSON, 20, True),
    ("twenty acts, one shop", JSON, 20, False),
    ("one act as a phone, distinct shops", FORM, 1, True),
]


def measure() -> list[Row]:
    with databases() as both:
        return [row for name, address in both.items() for row in _on(name, address)]


def _on(name: str, database: str) -> list[Row]:
    """The rates on one database."""
    with folder() as where, serving(where, DATABASE_URL=database) as server:
        rates = {EMPTY: []} | {case: [] for case in CASES}
        _rate(server.address, EMPTY, 0, True)
        for _ in range(TURNS):
            rates[EMPTY].append(_rate(server.address, EMPTY, 0, True))
            for case in CASES:
                rates[case].append(_rate(server.address, *case[1:]))
    empty = median(rates[EMPTY])
    rows = [Row(f"{name}: empty view", empty, "requests/s", empty)]
    for case in CASES:
        rows.append(Row(f"{name}: {case[0]}", median(rates[case]), "requests/s", empty))
        if case[2] > 1:
            rows.append(Row(f"{name}: {case[0]}, acts", case[2] * median(rates[case]), "acts/s"))
    return rows


def _rate(address: str, road: str, acts: int, distinct: bool) -> float:
    """Requests a second of all clients together, counted in their own process."""
    calm(2, 0.5)
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        return pool.apply(_clients, (address, road, acts, distinct))


def _clients(address: str, road: str, acts: int, distinct: bool) -> float:
    shops = [Seeder(address) for _ in range(CLIENTS if distinct else 1)] if acts else []
    clients = [_Client(address, road, acts, shops[at % len(shops)] if acts else None) for at in range(CLIENTS)]
    gate = threading.Barrier(CLIENTS)
    threads = [threading.Thread(target=client.work, args=(gate,)) for client in clients]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    for client in clients:
        assert client.took, client.trouble or "a client got no answer"
    return sum(client.count / client.took for client in clients)


class _Client:
    """One phone with one connection; what it says is made before the clock runs."""

    def __init__(self, address: str, road: str, acts: int, shop: Seeder | None):
        self.at, self.road, self.shop, self.count, self.took = urlsplit(address), road, shop, 0, 0.0
        self.cursor, self.trouble = b"0", b""
        self.bodies = list(_bodies(shop, acts)) if acts else []
        if acts:
            self.cursor = str(shop.tell([])["cursor"]).encode()

    def work(self, gate: threading.Barrier):
        wire = socket.create_connection((self.at.hostname, self.at.port))
        wire.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)
        gate.wait()
        began = time.monotonic()
        while time.monotonic() - began < SECONDS and (self.road == EMPTY or self.count < len(self.bodies)):
            answer = self._ask(wire)
            self.trouble = answer[:3000]
            assert answer.startswith(b"HTTP/1.1 200"), self.trouble
            assert b'"refused"' not in answer, self.trouble
            found = CURSOR.search(answer)
            self.cursor = (found[1] or found[2]) if found else self.cursor
            self.count += 1
        self.took = time.monotonic() - began
        wire.close()

    def _ask(self, wire: socket.socket) -> bytes:
        wire.sendall(self._request())
        said = b""
        while b"\r\n\r\n" not in said:
            said += wire.recv(1 << 18)
        head, _, body = said.partition(b"\r\n\r\n")
        length = re.search(rb"(?i)content-length: (\d+)", head)
        while len(body) < int(length[1]):
            body += wire.recv(1 << 18)
        return head + (gzip.decompress(body) if b"gzip" in head else body)

    def _request(self) -> bytes:
        host = f"Host: {self.at.netloc}\r\nCookie: {COOKIE}={self.shop.cookie if self.shop else ''}\r\n"
        if self.road == EMPTY:
            return f"GET /clock HTTP/1.1\r\n{host}\r\n".encode()
        acts = self.bodies[self.count]
        if self.road == JSON:
            kind, said = (
                "X-Sandtime: 1\r\nContent-Type: application/json",
                b'{"acts":%b,"cursor":%b}' % (acts, self.cursor),
            )
        else:
            kind = "HX-Request: true\r\nAccept-Encoding: gzip\r\nContent-Type: application/x-www-form-urlencoded"
            said = b"acts=%b&cursor=%b" % (quote_plus(acts).encode(), self.cursor)
        return f"POST /sync HTTP/1.1\r\n{host}{kind}\r\nContent-Length: {len(said)}\r\n\r\n".encode() + said


def _bodies(shop: Seeder, acts: int):
    """More requests than can be answered in time: panels in work, each added, coated, found ready, again and again."""
    made: list[dict] = []
    for nth in range(1 + 3000 * SECONDS * acts // (CLIENTS * (1 if acts == 1 else 4) * ACTS_A_PANEL)):
        made += _life(shop, nth)
    for start in range(0, len(made) - acts, acts):
        yield json.dumps(made[start : start + acts]).encode()


def _life(shop: Seeder, nth: int) -> list[dict]:
    acts = shop.panel(f"Panel {nth}", "", (3, 4, [(SURFACER, 75), (SURFACER, 55)], 1), nth)
    on = acts[0]["on"]
    films = [act["film"] for act in acts if act["kind"] == "film_laid"]
    step = _now(acts)["id"]
    while len(acts) < ACTS_A_PANEL - 2:
        acts.append(shop.act(on, "found_not_ready", 40, films=films, gate="sand", ask_at=shop.now_ms))
        done = shop.act(on, "step_done", 39, step=step)
        acts += [done, shop.act(on, "undone", 38, act=done["id"])]
    return acts
