"""One act a second and shop for 1,000 shops: what `manage.py serve` answers, and how late, beside its emptiest view.

Acts are due at even moments whether the server keeps up or not; late is from the moment an act was due until its answer
is there.  Bare is `/clock` asked as often in the same run.  SANDTIME_BENCH_SHOPS (1000) and SANDTIME_BENCH_SECONDS (20)
make it smaller.  With DATABASE_URL it runs on PostgreSQL.
"""

import asyncio
import json
import multiprocessing
import os
import re
import time
from urllib.parse import urlsplit

from .rig import Row, calm, folder, median, p99, serving
from .seed import COOKIE, Seeder

SHOPS = int(os.environ.get("SANDTIME_BENCH_SHOPS", "1000"))
SECONDS = int(os.environ.get("SANDTIME_BENCH_SECONDS", "20"))
WIRES = 32


def measure() -> list[Row]:
    with folder() as where, serving(where) as server:
        calm(5)
        with multiprocessing.get_context("spawn").Pool(1) as pool:
            bare, acts = pool.apply(_both, (server.address,))
    on = "PostgreSQL" if os.environ.get("DATABASE_URL") else "SQLite"
    return [
        Row(f"answered of {SHOPS} a second, {on}", len(acts[0]) / acts[1], "acts/s", len(bare[0]) / bare[1]),
        Row("late, p50", 1000 * median(acts[0]), "ms", 1000 * median(bare[0])),
        Row("late, p99", 1000 * p99(acts[0]), "ms", 1000 * p99(bare[0]), "< 1000", p99(acts[0]) < 1),
    ]


def _both(address: str) -> tuple:
    """The empty view, then the acts: how late each answer was, and how long all took."""
    host = f"Host: {urlsplit(address).netloc}\r\n"
    empty = [f"GET /clock HTTP/1.1\r\n{host}\r\n".encode()] * (SHOPS * SECONDS)
    acts = [
        request for turn in zip(*(_acts(Seeder(address), host) for _ in range(SHOPS)), strict=True) for request in turn
    ]
    return tuple(asyncio.run(_offer(urlsplit(address), asked)) for asked in (empty, acts))


def _acts(shop: Seeder, host: str) -> list[bytes]:
    """One act for each second, of a phone that has heard all but its own last act."""
    made = []
    for nth in range(SECONDS):
        act = shop.act("air", "air_read", (SECONDS - nth) / 60, temp_dc=200 + nth % 3)
        body = json.dumps({"acts": [act], "cursor": 16 + nth}).encode()
        head = f"{host}Cookie: {COOKIE}={shop.cookie}\r\nX-Sandtime: 1\r\nContent-Type: application/json\r\n"
        made.append(f"POST /sync HTTP/1.1\r\n{head}Content-Length: {len(body)}\r\n\r\n".encode() + body)
    return made


async def _offer(at, requests: list[bytes]) -> tuple[list, float]:
    """Every request at its moment, on the next free wire."""
    wires = asyncio.Queue()
    for _ in range(WIRES):
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
