"""Crowds at a server that has few files: it serves on, says no kindly, and does not fill its log."""

import contextlib
import resource
import time

import pytest

from tests.bench.seed import COOKIE, Seeder
from tests.support.strangers import Stranger, Watched, asked, head, soon

CROWD = 1_100
FILES = 1_024


@pytest.fixture(scope="module", autouse=True)
def _files_of_our_own():
    soft, hard = resource.getrlimit(resource.RLIMIT_NOFILE)
    if hard < 3 * CROWD:
        pytest.skip("this machine gives us too few files")
    resource.setrlimit(resource.RLIMIT_NOFILE, (max(soft, 3 * CROWD), hard))
    yield
    resource.setrlimit(resource.RLIMIT_NOFILE, (soft, hard))


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    many = {f"SANDTIME_STREAMS_{whose}": "5000" for whose in ("OF_PHONE", "OF_SHOP", "FROM_ADDRESS")}
    running = Watched(tmp_path_factory.mktemp("crowds") / "data").start(FILES, SANDTIME_HEAD_S="2", **many)
    yield running
    running.stop()


def test_eleven_hundred_streams_leave_room_for_a_visitor_and_are_refused_kindly(server):
    ask = head("/live", f"Cookie: {COOKIE}={Seeder(server.address).cookie}", method="GET")
    with contextlib.ExitStack() as here:
        crowd = [Stranger(server, ask) for _ in range(CROWD)]
        for one in crowd:
            here.callback(one.close)
        said = [one.wire.recv(2_000) for one in crowd]
        kinds = {one.split(b"\r\n")[0] for one in said}
        assert kinds == {b"HTTP/1.1 200 OK", b"HTTP/1.1 503 Service Unavailable"}
        assert all(b"retry-after" in one for one in said if one.split()[1] == b"503")
        assert asked(server)[0] == 200
        assert asked(server, "moved")[0] == 401
        assert len(server.output.read_text().splitlines()) < 20
    assert "streams were refused" in server.output.read_text()


def test_eleven_hundred_silent_connections_do_not_spin_the_server_and_are_let_go(server):
    with contextlib.ExitStack() as here:
        for _ in range(CROWD):
            here.callback(Stranger(server).close)
        began, spent = time.monotonic(), server.spent_s()
        assert soon(lambda: _answers(server))
        assert (server.spent_s() - spent) / max(1, time.monotonic() - began) < 0.6
    assert len(server.output.read_text().splitlines()) < 40


def _answers(server) -> bool:
    try:
        return asked(server)[0] == 200
    except OSError:
        return False
