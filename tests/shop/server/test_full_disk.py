"""A disk that is full: whoever watches over the server is told before, and then, that no tap can be kept."""

import os
import subprocess
import time
import urllib.error
import urllib.request

import pytest
from django.test import Client

from shop.server import health
from tests.browser.conftest import Server
from tests.timers.log.test_durability import begin, sync, tap

READY = (200, "ready")


@pytest.fixture
def small_disk(tmp_path):
    """A disk of a few MB of its own; only root may make one."""
    made = ["mount", "-t", "tmpfs", "-o", "size=6m", "sandtime-test", str(tmp_path)]
    if os.geteuid() != 0 or subprocess.run(made, capture_output=True, check=False).returncode:
        pytest.skip("a disk of our own can be made by root only")
    yield tmp_path
    subprocess.run(["umount", "--lazy", str(tmp_path)], check=True)


@pytest.fixture(autouse=True)
def _looks_anew(monkeypatch):
    monkeypatch.setattr(health, "FRESH_S", 0)


def asked(address: str) -> tuple[int, str]:
    try:
        with urllib.request.urlopen(f"{address}readyz", timeout=20) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as why:
        return why.code, why.read().decode()


def test_a_server_on_a_full_disk_is_not_ready_and_goes_on_once_there_is_room(small_disk):
    server = Server(small_disk).start(SANDTIME_FREE_BYTES="0")
    fill = small_disk / "fill"
    try:
        token = begin(server.address)
        assert asked(server.address) == READY
        with pytest.raises(OSError, match="No space"):
            fill.write_bytes(b"x" * 6_000_000)
        with pytest.raises(urllib.error.HTTPError):
            _use_up(server.address, token)
        assert _until_it_looks_again(server.address, 503) == (503, "The database takes no tap: its disk may be full.")
        fill.unlink()
        assert _until_it_looks_again(server.address, 200) == READY
        assert {one["verdict"] for one in sync(server.address, token, [tap()], 0)["verdicts"]} == {"kept"}
    finally:
        server.stop()


def _use_up(address: str, token: str) -> None:
    """The room that SQLite had taken already."""
    for _ in range(50):
        sync(address, token, [tap() | {"name": "W" * 200} for _ in range(20)], 0)


def _until_it_looks_again(address: str, status: int) -> tuple[int, str]:
    end = time.monotonic() + 20
    while (said := asked(address))[0] != status and time.monotonic() < end:
        time.sleep(0.2)
    return said


@pytest.mark.django_db
@pytest.mark.skipif("__import__('django.db').db.connection.vendor != 'sqlite'", reason="the disk of SQLite")
def test_a_disk_that_is_nearly_full_is_said_while_taps_still_fit(settings, monkeypatch):
    monkeypatch.setattr(type(health.connection), "is_in_memory_db", lambda _: False, raising=False)
    monkeypatch.setitem(health.connection.settings_dict, "NAME", os.getcwd())
    assert Client().get("/readyz").content == b"ready"
    settings.FREE_BYTES = 2**60
    answer = Client().get("/readyz")
    assert (answer.status_code, answer.content[:25]) == (503, b"The disk is nearly full: ")
