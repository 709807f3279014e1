"""What was acknowledged is on the disk: a real server in a process of its own, killed while phones post."""

import json
import os
import random
import signal
import sqlite3
import threading
import time
import urllib.request
from contextlib import closing
from http.client import HTTPException

import pytest
from django.conf import settings
from django.db.utils import ConnectionHandler

from shop.security import access
from tests.browser.conftest import Server
from timers.core.acts.envelope import new_id

CYCLES = 4
POSTERS = 2


@pytest.fixture
def one_shop(tmp_path):
    """A server with one shop that every phone joins, on a folder of its own."""
    running = Server(tmp_path / "data", "--one-shop").start()
    yield running
    running.stop()


class Poster(threading.Thread):
    """A phone that posts a few taps, again and again, until the server is gone; it remembers what was acknowledged."""

    def __init__(self, address: str, token: str, seed: int):
        super().__init__()
        self.address, self.token, self.rnd = address, token, random.Random(seed)
        self.acknowledged: dict[str, int] = {}

    def run(self):
        cursor = 0
        while True:
            try:
                answer = sync(self.address, self.token, [tap() for _ in range(self.rnd.randint(1, 4))], cursor)
            except (OSError, HTTPException):
                return
            cursor = answer["cursor"]
            self.acknowledged |= {verdict["id"]: verdict["seq"] for verdict in answer["verdicts"]}


def tap() -> dict:
    at = time.time_ns() // 1_000_000
    act_id = new_id(at, os.urandom(10))
    return {"id": act_id, "at": at, "on": f"panel:{act_id}", "kind": "panel_added", "name": "Door", "steps": []}


def begin(address: str) -> str:
    """A new phone's token."""
    asked = urllib.request.Request(f"{address}begin", b"", {"X-Sandtime": "1"})
    with urllib.request.urlopen(asked, timeout=20) as answer:
        return answer.headers["Set-Cookie"].partition(f"{access.COOKIE}=")[2].partition(";")[0]


def sync(address: str, token: str, acts: list, cursor: int) -> dict:
    headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
    body = json.dumps({"acts": acts, "cursor": cursor}).encode()
    with urllib.request.urlopen(urllib.request.Request(f"{address}sync", body, headers), timeout=20) as answer:
        return json.load(answer)


def killed_while_posting(server: Server, tokens: list[str], seed: int, longest_s: float = 0.9) -> dict[str, int]:
    """Phones post, the server dies at a moment of no one's choosing: what was acknowledged until then."""
    posters = [Poster(server.address, token, seed) for token in tokens]
    for poster in posters:
        poster.start()
    while sum(len(poster.acknowledged) for poster in posters) <= 5 and any(poster.is_alive() for poster in posters):
        time.sleep(0.01)
    time.sleep(random.Random(seed).uniform(0, longest_s))
    server.stop(signal.SIGKILL)
    for poster in posters:
        poster.join(timeout=30)
    return {act_id: seq for poster in posters for act_id, seq in poster.acknowledged.items()}


def test_every_tap_that_was_acknowledged_is_there_after_the_server_was_killed(one_shop):
    tokens = [begin(one_shop.address) for _ in range(POSTERS)]
    told = {}
    for seed in range(CYCLES):
        fresh = killed_while_posting(one_shop, tokens, seed)
        assert len(fresh) > 5
        told |= fresh
        one_shop.start()
        assert told.keys() <= set(heard(one_shop.address, tokens[0]))
        check_file(one_shop.folder / "sandtime.sqlite3", told)


def heard(address: str, token: str) -> list[str]:
    """Ids of all acts that a phone with an empty memory is told, page by page."""
    acts, cursor, more = [], 0, True
    while more:
        answer = sync(address, token, [], cursor)
        acts += [act["id"] for fragment in answer["fragments"] for act in fragment["acts"]]
        cursor, more = answer["cursor"], answer["more"]
    return acts


def check_file(path, told: dict[str, int]) -> None:
    """The file is whole; its numbers have no gaps and are those that were told."""
    with closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert db.execute("PRAGMA foreign_key_check").fetchall() == []
        assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
        rows = db.execute("SELECT seq, body FROM timers_act ORDER BY seq").fetchall()
        (last,) = db.execute("SELECT seq FROM shop_shop").fetchone()
    seqs = {json.loads(body)["id"]: seq for seq, body in rows}
    assert [seq for seq, _ in rows] == list(range(1, last + 1))
    assert {act_id: seqs.get(act_id) for act_id in told} == told


def test_a_connection_writes_ahead_and_waits_for_the_disk(tmp_path, django_db_blocker):
    database = {**settings.DATABASES["default"], "NAME": tmp_path / "any.sqlite3"}
    with django_db_blocker.unblock():
        connection = ConnectionHandler({"default": database})["default"]
        said = {name: _pragma(connection, name) for name in ("journal_mode", "synchronous", "foreign_keys")}
        connection.close()
    full = 2
    assert said == {"journal_mode": "wal", "synchronous": full, "foreign_keys": 1}


def _pragma(connection, name: str):
    with connection.cursor() as cursor:
        return cursor.execute(f"PRAGMA {name}").fetchone()[0]
