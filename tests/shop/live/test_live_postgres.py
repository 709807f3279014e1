"""Two hosts on one PostgreSQL: what one hears, the streams of the other tell, by NOTIFY."""

import os
import uuid
from urllib.parse import urlencode, urlsplit

import pytest

from tests.bench.seed import Seeder
from tests.browser.conftest import Server
from tests.shop.live.test_live_server import all_hear, read_air
from tests.support.streams import Listening

ADDRESS = os.environ.get("DATABASE_URL", "")
pytestmark = [pytest.mark.postgres, pytest.mark.skipif(not ADDRESS, reason="DATABASE_URL names no PostgreSQL")]
FORM = "application/x-www-form-urlencoded"
LISTENING = "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() AND query LIKE 'LISTEN%'"


def ask(address: str, words: str):
    import psycopg

    with psycopg.connect(address, autocommit=True) as connection:
        rows = connection.execute(words)
        return rows.fetchone()[0] if rows.description else None


@pytest.fixture
def database():
    """An empty database for two servers."""
    name = f"live_{uuid.uuid4().hex}"
    plain = urlsplit(ADDRESS)._replace(path="/postgres").geturl()
    ask(plain, f"CREATE DATABASE {name}")
    yield urlsplit(ADDRESS)._replace(path=f"/{name}").geturl()
    ask(plain, f"DROP DATABASE {name} WITH (FORCE)")


@pytest.fixture
def servers(tmp_path, database):
    running = [Server(tmp_path / name, "--one-shop").start(DATABASE_URL=database) for name in ("one", "two")]
    yield running
    for server in running:
        server.stop()


def test_an_act_at_one_host_is_heard_at_the_other(servers):
    all_hear(servers, rounds=2)


def test_a_connection_for_notices_that_broke_is_made_again_and_what_was_missed_is_told(servers, database):
    phones = [Seeder(server.address) for server in servers]
    stream = Listening(servers[0].address, phones[0].cookie)
    assert stream.next() is not None
    for _ in range(3):
        ask(database, "SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity WHERE query LIKE 'LISTEN%'")
        assert stream.until(read_air(phones[1]))


def test_one_process_holds_one_connection_for_all_its_streams(servers, database):
    phones = [Seeder(servers[0].address) for _ in range(4)]
    streams = [Listening(servers[0].address, phone.cookie) for phone in phones]
    assert all(stream.next() is not None for stream in streams)
    seq = read_air(Seeder(servers[1].address))  # heard by that connection only, so it is there
    assert all(stream.until(seq) for stream in streams)
    assert ask(database, LISTENING) == 1


def test_a_role_given_at_one_host_is_told_at_the_other(servers):
    keeper, painter = (Seeder(server.address) for server in servers)
    stream = Listening(servers[1].address, painter.cookie)
    assert stream.next() is not None
    stream.until(read_air(keeper))  # the notices of the other host are heard from here on
    told = keeper._post("/phones/role", urlencode({"phone": painter.tell([])["phone"]["id"], "role": "wall"}), FORM)[1]
    assert b'"wall"' in told
    assert stream.event() == "ask"
