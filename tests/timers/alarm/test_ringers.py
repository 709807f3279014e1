"""Ringers as they run: in the server and beside it, all on one database, through real push messages."""

import collections
import json
import os
import signal
import subprocess
import sys
import time
import urllib.parse
import urllib.request

import pytest

from tests.browser.conftest import Server
from tests.conftest import ROOT
from tests.support.pushed import until
from tests.timers.log.test_durability import begin, sync
from timers.core.acts.envelope import new_id
from timers.core.base.units import MINUTE_MS
from timers.core.fold.shelf import laid_sheet
from timers.defaults.products import PRODUCTS
from timers.web.pages import now_ms

PUTTY = PRODUCTS[1]
STEPS = [
    {"id": "1", "do": "fill", "words": "Glazing putty", "cls": "putty"},
    {"id": "2", "do": "sand", "words": "Block P180", "grit": 180},
]
DOORS = 40


@pytest.fixture
def running(tmp_path, push_service):
    """A server that knows the push service on loopback, with one shop that every phone joins."""
    server = Server(tmp_path / "data", "--one-shop").start(SANDTIME_PUSH_HOSTS=push_service.host)
    yield server
    server.stop()


def subscribed(address: str, fields: dict) -> str:
    """A new phone that is told by push: its token."""
    token = begin(address)
    request = urllib.request.Request(f"{address}push/subscribe", urllib.parse.urlencode(fields).encode())
    request.add_header("Authorization", f"Bearer {token}")
    assert json.load(urllib.request.urlopen(request, timeout=10))["endpoint"] == fields["endpoint"]
    return token


def doors(count: int, ago_ms: int) -> list[dict]:
    """Panels whose putty was laid so long ago."""
    at, made = now_ms() - ago_ms, []
    for n in range(count):
        on = f"panel:{new_id(at, os.urandom(10))}"
        film = {"film": new_id(at, os.urandom(10)), "step": "1", "product": PUTTY["id"], "coat": 1}
        made.append(act(at - 1, on, "panel_added", name=f"Door {n}", steps=STEPS))
        made.append(act(at, on, "film_laid", **film, sheet=laid_sheet(PUTTY, "2")))
    return made


def act(at: int, on: str, kind: str, **fields) -> dict:
    return {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **fields}


def another(folder, host: str) -> subprocess.Popen:
    """One more ringer on the same database, when it has begun."""
    env = {**os.environ, "SANDTIME_DATA": str(folder), "SANDTIME_PUSH_HOSTS": host}
    started = subprocess.Popen([sys.executable, "manage.py", "ringer"], cwd=ROOT, env=env, stdout=subprocess.PIPE)
    assert b"The ringer rings" in started.stdout.readline()
    return started


def test_three_ringers_on_one_database_tell_each_phone_each_ring_once(running, push_service):
    tokens = [subscribed(running.address, push_service.keys(path)) for path in ("/one", "/two")]
    more = [another(running.folder, push_service.host) for _ in range(2)]
    try:
        for _ in range(DOORS // 4):  # spread over seconds, so that each ringer finds some
            sync(running.address, tokens[0], doors(4, 35 * MINUTE_MS), 2**40)
            time.sleep(0.3)
        until(lambda: len(push_service.came) >= 2 * DOORS, 60)
        running.stop(signal.SIGKILL)
        running.start(SANDTIME_PUSH_HOSTS=push_service.host)
        sync(running.address, tokens[0], doors(1, 35 * MINUTE_MS), 0)
        until(lambda: len(push_service.came) >= 2 * DOORS + 2, 60)
    finally:
        for one in more:
            one.terminate()
        assert [one.wait(timeout=20) for one in more] == [0, 0]
    told = collections.Counter((path, heard(push_service, body)["tag"]) for path, _, body in push_service.came)
    assert set(told.values()) == {1}
    assert len(told) == 2 * DOORS + 2


def heard(push_service, body: bytes) -> dict:
    return json.loads(push_service.opened(body))["notification"]


def test_the_key_of_a_server_is_kept_over_a_restart(running, push_service):
    token = begin(running.address)

    def key() -> str:
        request = urllib.request.Request(f"{running.address}push/key", headers={"Authorization": f"Bearer {token}"})
        return json.load(urllib.request.urlopen(request, timeout=10))["key"]

    first = key()
    running.stop()
    running.start()
    assert key() == first
