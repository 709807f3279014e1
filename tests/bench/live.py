"""Phones of one shop that listen at /live: memory of the server a phone, and how soon they hear of an act.

`heard` is from before the act is posted until its notice is at a phone, over all phones and acts; the posting itself is
said beside it.  Bare is a plain asyncio server that writes the same notice to as many sockets when it is asked to.
SANDTIME_BENCH_PHONES (500) and SANDTIME_BENCH_ACTS (40) make it smaller.  With DATABASE_URL it runs on PostgreSQL.
"""

import asyncio
import multiprocessing
import os
import time
from pathlib import Path
from urllib.parse import urlsplit

from .rig import Row, calm, folder, median, p99, serving
from .seed import COOKIE, Seeder

PHONES = int(os.environ.get("SANDTIME_BENCH_PHONES", "500"))
ACTS = int(os.environ.get("SANDTIME_BENCH_ACTS", "40"))
PAUSE_S = 0.25
NOTICE = b"event: moved\ndata: %d\n\n"


def measure() -> list[Row]:
    spawn = multiprocessing.get_context("spawn")
    with folder() as where, serving(where, "--one-shop") as server:
        phones = [Seeder(server.address) for _ in range(PHONES)]
        status = Path(f"/proc/{server.process.pid}/status")
        calm(5)
        before = _now_kb(status)
        with spawn.Pool(1) as pool:
            told = pool.apply_async(_ours, (server.address, [phone.cookie for phone in phones]))
            most = before
            while not told.ready():
                most = max(most, _now_kb(status))
                told.wait(0.2)
            heard, posted = told.get()
    with spawn.Pool(2) as pool:
        port = spawn.Manager().Queue()
        pool.apply_async(_plain_server, (port,))
        bare = pool.apply(_bare, (port.get(timeout=60),))
    on = "PostgreSQL" if os.environ.get("DATABASE_URL") else "SQLite"
    return [
        Row(
            f"memory a phone, of {PHONES}",
            (most - before) / PHONES,
            "kB",
            aim="<= 64",
            met=most - before <= 64 * PHONES,
        ),
        Row(f"heard, p50, {on}", 1000 * median(heard), "ms", 1000 * median(bare)),
        Row("heard, p99", 1000 * p99(heard), "ms", 1000 * p99(bare), "< 1000", p99(heard) < 1),
        Row("heard, the last of all", 1000 * max(heard), "ms", 1000 * max(bare), "< 1000", max(heard) < 1),
        Row("of it posting the act, p50", 1000 * median(posted), "ms"),
    ]


def _now_kb(status: Path) -> int:
    line = next(line for line in status.read_text().splitlines() if line.startswith("VmRSS"))
    return int(line.split()[1])


def _ours(address: str, cookies: list[str]) -> tuple[list, list]:
    at = urlsplit(address)
    asks = [f"GET /live HTTP/1.1\r\nHost: {at.netloc}\r\nCookie: {COOKIE}={one}\r\n\r\n".encode() for one in cookies]
    speaker = Seeder(address)

    def act() -> int:
        return speaker.tell([speaker.act("air", "air_read", 0, temp_dc=200)], 2**40)["cursor"]

    return asyncio.run(_fan_out(at.hostname, at.port, asks, act))


def _bare(port: int) -> list:
    import socket

    wire = socket.create_connection(("127.0.0.1", port))
    count = iter(range(1, ACTS + 1))

    def act() -> int:
        seq = next(count)
        wire.sendall(b"tell\n")
        return seq

    return asyncio.run(_fan_out("127.0.0.1", port, [b"listen\n"] * PHONES, act))[0]


async def _fan_out(host: str, port: int, asks: list[bytes], act) -> tuple[list, list]:
    """So many listeners and acts: for each notice how long after its act began it came, and how long acts took."""
    arrived: dict[int, list[float]] = {}
    ready = asyncio.Semaphore(0)

    async def listen(ask: bytes):
        reader, writer = await asyncio.open_connection(host, port)
        writer.write(ask)
        while line := await reader.readline():
            if line.startswith(b"data:"):
                arrived.setdefault(int(line[5:]), []).append(time.monotonic())
                ready.release()

    tasks = [asyncio.ensure_future(listen(ask)) for ask in asks]
    for _ in asks:  # where the shop stands
        await ready.acquire()
    heard, posted = [], []
    for _ in range(ACTS):
        began = time.monotonic()
        seq = await asyncio.to_thread(act)
        posted.append(time.monotonic() - began)
        for _ in asks:
            await ready.acquire()
        heard += [at - began for at in arrived.pop(seq)]
        await asyncio.sleep(PAUSE_S)
    for task in tasks:
        task.cancel()
    return heard, posted


def _plain_server(port) -> None:
    asyncio.run(_plain(port))


async def _plain(port) -> None:
    writers, seq = [], 0

    async def met(reader, writer):
        nonlocal seq
        while line := await reader.readline():
            if line == b"listen\n":
                writers.append(writer)
                writer.write(NOTICE % 0)
                continue
            seq += 1
            for one in writers:
                one.write(NOTICE % seq)

    server = await asyncio.start_server(met, "127.0.0.1", 0, backlog=1000)
    port.put(server.sockets[0].getsockname()[1])
    await server.serve_forever()
