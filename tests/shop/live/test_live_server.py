"""Listening at a real server: over the wire, when it stops, and by two processes on one file."""

import pytest

from tests.bench.seed import Seeder
from tests.browser.conftest import Server
from tests.support.streams import Listening


def read_air(phone: Seeder) -> int:
    """One act of a phone; where its shop stands then."""
    return phone.tell([phone.act("air", "air_read", 0, temp_dc=200)])["cursor"]


def all_hear(servers: list, rounds: int = 1) -> None:
    """A phone at each server acts in turn, and the streams of all servers tell each act."""
    phones = [Seeder(server.address) for server in servers]
    streams = [Listening(server.address, phones[0].cookie) for server in servers]
    assert all(stream.next() is not None for stream in streams)
    for phone in phones * rounds:
        seq = read_air(phone)
        assert [stream.until(seq) for stream in streams] == [True, True]


@pytest.fixture
def servers(tmp_path):
    """Two processes on one SQLite file, with one shop."""
    running = [Server(tmp_path, "--one-shop").start() for _ in range(2)]
    yield running
    for server in running:
        server.stop()


def test_an_act_is_heard_by_the_streams_of_both_processes_of_one_file(servers):
    all_hear(servers)


def test_a_server_that_stops_ends_its_streams_and_does_not_wait_for_them(servers):
    phone = Seeder(servers[0].address)
    streams = [Listening(servers[0].address, phone.cookie) for _ in range(3)]
    assert all(stream.next() is not None for stream in streams)
    process = servers[0].process
    servers[0].stop()
    assert process.returncode in (0, -15)
    assert [stream.next() for stream in streams] == [None] * 3


def test_a_stream_holds_no_thread_of_the_server(servers):
    """Eight threads answer requests; thirty streams take none of them."""
    phones = [Seeder(servers[0].address) for _ in range(30)]
    streams = [Listening(servers[0].address, phone.cookie) for phone in phones]
    assert all(stream.next() is not None for stream in streams)
    seq = read_air(phones[0])
    assert all(stream.until(seq) for stream in streams)


def test_nobody_is_told_so_and_the_stream_is_not_opened(servers):
    assert Listening(servers[0].address, "").answer.status == 401
