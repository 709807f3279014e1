"""What every benchmark shares: a row of the table, servers on temporary folders, the middle and the tail."""

import contextlib
import os
import statistics
import tempfile
import time
from dataclasses import dataclass
from pathlib import Path

from tests import postgres
from tests.browser.conftest import Server

from .seed import COOKIE, Seeder

RATES = (1, 4, 6)  # times slower than this machine: a desk, a fair phone, an old one


@dataclass
class Row:
    """One line: our figure, the bare ceiling's in the same run, and what we aim for."""

    what: str
    ours: float
    unit: str
    bare: float | None = None
    aim: str = ""
    met: bool | None = None

    @property
    def ratio(self) -> float | None:
        return self.ours / self.bare if self.bare else None


@contextlib.contextmanager
def folder():
    with tempfile.TemporaryDirectory(prefix="sandtime-bench-", ignore_cleanup_errors=True) as made:
        yield Path(made)


@contextlib.contextmanager
def databases():
    """{"SQLite": "", "PostgreSQL": its address}: both put on the disk what they acknowledge."""
    with postgres.running(quick=False) as address:
        yield {"SQLite": "", "PostgreSQL": address}


@contextlib.contextmanager
def serving(where: Path, *options: str, **more: str):
    server = Server(where / "data", *options).start(**more)
    try:
        yield server
    finally:
        server.stop()


def settle_in(page, server, seeder: Seeder, panels: int):
    """First visit of a phone that belongs to a shop: until all is heard, shown, and kept for a start with no signal."""
    page.cookie(server.address, COOKIE, seeder.cookie)
    page.go(server.address)
    page.until("document.body?.dataset.ready === 'yes'")
    page.until(f"document.querySelectorAll('#floor .card').length === {panels}")
    page.until("document.getElementById('signal-words').textContent === 'Saved.'")
    page.until("navigator.serviceWorker.ready.then(() => Boolean(navigator.serviceWorker.controller))")


def calm(seconds: float = 2, share: float = 0.25):
    """Wait, but not for ever, until other work leaves the processors alone: at most this share of one is busy."""
    end = time.monotonic() + seconds
    while time.monotonic() < end:
        before, began = _idle_s(), time.monotonic()
        time.sleep(0.4)
        idle = (_idle_s() - before) / (time.monotonic() - began)
        if before < 0 or os.cpu_count() - idle <= share:
            return


def _idle_s() -> float:
    """Idle seconds of all processors since the start; -1 where the system does not say."""
    try:
        return float(Path("/proc/uptime").read_text().split()[1])
    except OSError:
        return -1.0


median = statistics.median


def p95(values: list[float]) -> float:
    """The value that 95 of 100 stay under."""
    return sorted(values)[max(0, -(-len(values) * 95 // 100) - 1)]


def p99(values: list[float]) -> float:
    return sorted(values)[max(0, -(-len(values) * 99 // 100) - 1)]
