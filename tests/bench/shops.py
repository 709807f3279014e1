"""One act a second and shop for 1,000 shops: what `manage.py serve` answers, and how late, beside the barest server.

Acts are due at even moments whether the server keeps up or not; late is from the moment an act was due until its
answer is there.  Bare is bare_act.py asked as often in the same run: as many processes of the same kind that keep one
row a request and check nothing.  The emptiest view is `/clock` of ours.  On SQLite in one process, then on a PostgreSQL
of its own in SANDTIME_BENCH_SERVERS (2) processes; both put on the disk what they acknowledge.  SANDTIME_BENCH_SHOPS
(1000) and SANDTIME_BENCH_SECONDS (20) make it smaller.
"""

import asyncio
import contextlib
import itertools
import json
import multiprocessing
import os
import re
import subprocess
import sys
import time
from urllib.parse import urlsplit

from tests.browser.conftest import Server
from tests.conftest import ROOT

from .rig import Row, calm, databases, folder, median, p99, serving
from .seed import COOKIE, Seeder

SHOPS = int(os.environ.get("SANDTIME_BENCH_SHOPS", "1000"))
SECONDS = int(os.environ.get("SANDTIME_BENCH_SECONDS", "20"))
SERVERS = int(os.environ.get("SANDTIME_BENCH_SERVERS", "2"))
WIRES = 32


def measure() -> list[Row]:
    with databases() as both:
        return [row for name, address in both.items() for row in _on(name, address, SERVERS if address else 1)]


def _on(name: str, database: str, count: int) -> list[Row]:
    """The rows of one database under so many processes."""
    with folder() as where, contextlib.ExitStack() as stack:
        ours = [stack.enter_context(serving(where, DATABASE_URL=database)).address for _ in range(count)]
        bares = [stack.enter_context(BareActs(where, DATABASE_URL=database)).address for _ in range(count)]
        calm(5)
        with multiprocessing.get_context("spawn").Pool(1) as pool:
            empty, acts, bare = pool.apply(_all, (ours, bares))
    of = f"{name}, {count} process{'es' * (count > 1)}"
    return [
        Row(f"{of}: answered of {SHOPS} acts a second", len(acts[0]) / acts[1], "acts/s", len(bare[0]) / bare[1]),
        Row(f"{of}: late, p50", 1000 * median(acts[0]), "ms", 1000 * median(bare[0])),
        Row(f"{of}: late, p99", 1000 * p99(acts[0]), "ms", 1000 * p99(bare[0]), "< 1000", p99(acts[0]) < 1),
        Row(f"{of}: the emptiest view, answered", len(empty[0]) / empty[1], "/s", len(bare[0]) / bare[1]),
    ]


class BareActs(Server):
    """`with BareActs(where, ...) as server: server.address`."""

    def __init__(self, where, **env: str):
        super().__init__(where)
        self.env = env

    def __enter__(self):
        command = [sys.executable, "-m", "tests.bench.bare_act", str(self.port), str(self.folder / "bare.sqlite3")]
        self.process = subprocess.Popen(command, cwd=ROOT, env={**os.environ, **self.env})
        self.wait()
        return self

    def __exit__(self, *error):
        self.stop()


def _all(ours: list[str], bares: list[str]) -> list[tuple]:
    """The empty view, the acts, the barest acts: how late each answer was, and how long all took."""
    host = f"Host: {urlsplit(ours[0]).netloc}\r\n"
    empty = [f"GET /clock HTTP/1.1\r\n{host}\r\n".encode()] * (SHOPS * SECONDS)
    shops = [Seeder(ours[nth % len(ours)]) for nth in range(SHOPS)]
    acts = [request for turn in zip(*(_acts(shop, host) for shop in shops), strict=True) for request in turn]
    return [asyncio.run(_offer(at, asked)) for at, asked in ((ours, empty), (ours, acts), (bares, acts))]


def _acts(shop: Seeder, host: str) -> list[bytes]:
    """One act for each second, of a phone that has heard all but its own last act."""
    made = []
    for nth in range(SECONDS):
        act = shop.act("air", "air_read", (SECONDS - nth) / 60, temp_dc=200 + nth % 3)
        body = json.dumps({"acts": [act], "cursor": 16 + nth}).encode()
        head = f"{host}Cookie: {COOKIE}={shop.cookie}\r\nX-Sandtime: 1\r\nContent-Type: application/json\r\n"
        made.append(f"POST /sync HTTP/1.1\r\n{head}Content-Length: {len(body)}\r\n\r\n".encode() + body)
    return made


async def _offer(addresses: list[str], requests: list[bytes]) -> tuple[list, float]:
    """Every request at its moment, on the next free wire; the wires go to all servers alike."""
    wires = asyncio.Queue()
    for at in map(urlsplit, itertools.islice(itertools.cycle(addresses), WIRES)):
        wires.put_nowait(await asyncio.open_connection(at.hostname, at.port))
    began, late, tasks = time.monotonic() + 0.1, [], []

    async def ask(request: bytes, due: float, wire):
        status, body = await _asked(*wire, request)
        late.append(time.monotonic() - due)
        assert status == 200, body
        assert b'"refused"' not in body, body
        wires.put_nowait(wire)

    for nth, request in enumerate(requests):
        due = began + nth / SHOPS
        await asyncio.sleep(max(0, due - time.monotonic()))
        tasks.append(asyncio.ensure_future(ask(request, due, await wires.get())))
    await asyncio.gather(*tasks)
    took = time.monotonic() - began
    while not wires.empty():
        (await wires.get())[1].close()
    return late, took


async def _asked(reader, writer, request: bytes) -> tuple[int, bytes]:
    writer.write(request)
    head = await reader.readuntil(b"\r\n\r\n")
    length = re.search(rb"(?i)content-length: (\d+)", head)
    return int(head.split()[1]), await reader.readexactly(int(length[1]))
