"""A stranger's shop that is as full as it may be, and taps on without end: what another shop notices of it.

The figures are printed (pytest -s); what is asserted is far above them and far below what a shop noticed before.
"""

import json
import os
import threading
import time
import urllib.error
import urllib.parse
import urllib.request

import pytest

from tests.browser.conftest import Server
from tests.pushed import until
from tests.test_durability import begin, sync
from tests.test_ringers import PUTTY, STEPS, act, doors, subscribed
from timers.core.acts import new_id
from timers.core.shelf import laid_sheet
from timers.core.units import MINUTE_MS
from timers.views import now_ms

PANELS, ACTS, STRANGERS, ROUNDS = 6, 2_000, 3, 4
MOST_SYNC_S, MOST_RING_S = 2.0, 4.0  # a ringer looks once a second


@pytest.fixture
def running(tmp_path, push_service):
    server = Server(tmp_path / "data").start(SANDTIME_PUSH_HOSTS=push_service.host)
    yield server
    server.stop()


def filled(address: str, token: str) -> list[str]:
    """Panels with as many coats as fit, each of which has clocks."""
    things, sheet, cursor = [], laid_sheet(PUTTY, "2"), 0
    for _ in range(PANELS):
        at = now_ms() - 10 * MINUTE_MS
        on = f"panel:{new_id(at, os.urandom(10))}"
        steps = [*STEPS, {"id": "3", "do": "coat", "words": "Surfacer", "cls": "surfacer"}]
        acts = [act(at, on, "panel_added", name="Stranger's", steps=steps)]
        for nth in range(ACTS - 20):
            film = {"film": new_id(at, os.urandom(10)), "step": "1", "product": PUTTY["id"], "coat": 1}
            acts.append(act(at + 1 + nth, on, "film_laid", **film, sheet=sheet, area=f"area {nth % 150}"))
        for nth in range(0, len(acts), 200):
            cursor = sync(address, token, acts[nth : nth + 200], cursor)["cursor"]
        things.append(on)
    return things


class Stranger(threading.Thread):
    """Taps on a full panel, as the page does, and warms the air, again and again."""

    def __init__(self, address: str, token: str, on: str, over: threading.Event):
        super().__init__()
        self.address, self.token, self.on, self.over = address, token, on, over
        self.answers: list[int] = []

    def run(self):
        while not self.over.is_set():
            taps = [
                act(now_ms(), self.on, "panel_named", name="Still here"),
                act(now_ms(), "air", "air_read", temp_dc=150 + len(self.answers) % 100),
            ]
            self.answers.append(self.page(taps))

    def page(self, acts: list) -> int:
        said = {"acts": json.dumps(acts), "cursor": 2**40}  # further than the shop has come: all of it is told again
        request = urllib.request.Request(f"{self.address}sync", urllib.parse.urlencode(said).encode())
        request.add_header("Authorization", f"Bearer {self.token}")
        request.add_header("HX-Request", "true")
        try:
            with urllib.request.urlopen(request, timeout=60) as answer:
                answer.read()
                return answer.status
        except urllib.error.HTTPError as why:
            return why.code


def test_another_shop_hardly_notices_a_stranger_who_is_as_full_as_may_be_and_taps_on(running, push_service):
    stranger, own = begin(running.address), subscribed(running.address, push_service.keys("/own"))
    things, over = filled(running.address, stranger), threading.Event()
    strangers = [Stranger(running.address, stranger, things[nth], over) for nth in range(STRANGERS)]
    for one in strangers:
        one.start()
    try:
        syncs, rings = [], []
        for _ in range(ROUNDS):
            began, heard = time.monotonic(), len(push_service.came)
            sync(running.address, own, doors(1, 35 * MINUTE_MS), 2**40)
            syncs.append(time.monotonic() - began)
            until(lambda heard=heard: len(push_service.came) > heard, 60)
            rings.append(time.monotonic() - began)
    finally:
        over.set()
        for one in strangers:
            one.join()
    taps = [len(one.answers) for one in strangers]
    print(f"\nsync s {sorted(round(one, 2) for one in syncs)}, ring s {sorted(round(one, 2) for one in rings)}, {taps}")
    assert max(syncs) < MOST_SYNC_S
    assert max(rings) < MOST_RING_S
