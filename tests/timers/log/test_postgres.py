"""On PostgreSQL, with many at work on one database: nothing skipped, nothing twice."""

import itertools
import os
import random
import threading
import time
import urllib.request
import uuid
from urllib.parse import urlsplit

import pytest
from django.db import connection

from shop.base import database
from shop.models import Phone, Shop, Subscription
from shop.security import access
from tests.browser.conftest import Server
from tests.random_logs import logs
from tests.support.at_postgres import ended, started
from tests.support.pushed import until
from tests.timers.log.test_durability import begin, sync, tap
from tests.timers.log.test_log import kept, panel_of, putty_on
from timers.alarm import ringer
from timers.core.base.units import MINUTE_MS
from timers.log import reader as log_reader
from timers.log.epoch import Heard
from timers.models import Act, Alert, Delivery, ThingState

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]
SECONDS = 5  # tests/soak/test_postgres_soak.py does it for a minute, and with ten times the moments
MOMENTS = 10_000
ALERT = """INSERT INTO timers_alert (id, shop_id, "on", key, at_ms, claimed_ms, payload)
    VALUES (%s, %s, 'air', 'air opens flash', 1, 1, '{}')"""
WRITERS, RINGERS, PANELS_A_SHOP = 6, 2, 500


def here() -> str:
    """The address of the database that this test is on."""
    return urlsplit(os.environ["DATABASE_URL"])._replace(path=f"/{connection.settings_dict['NAME']}").geturl()


# --- writers, and a reader by cursor ---


def test_six_writers_of_one_shop_and_a_reader_by_cursor_who_misses_nothing(monkeypatch):
    pages = itertools.cycle([7, 200, 200])
    shop = access.new_shop("Any garage", "UTC", 0)
    writers = [started(here(), "write", str(shop.pk), str(SECONDS), str(n)) for n in range(WRITERS)]
    reader = Reader(shop)
    while any(one.poll() is None for one in writers):
        monkeypatch.setattr(log_reader, "PAGE", next(pages))
        reader.ask()
    while reader.ask():
        pass
    written = [ended(one, 60) for one in writers]
    check_reader(reader, dict(Act.objects.filter(shop=shop).values_list("act_id", "seq")))
    numbers = sorted(seq for one in written for seq in one.values())
    assert numbers == list(range(1, Shop.objects.get(pk=shop.pk).seq + 1))
    assert all(written)
    assert reader.answers > 20


class Reader:
    """A phone that only listens: it remembers what each answer told."""

    def __init__(self, shop: Shop):
        self.shop, self.cursor, self.answers = shop, 0, 0
        self.pieces: set[tuple] = set()
        self.known: set[str] = set()
        self.whole: list[tuple[int, int]] = []  # (cursor, how many acts were known) after each answer that told all

    def ask(self) -> bool:
        answer = log_reader.changed(self.shop, Heard(self.cursor), logs.NOW_MS)
        self.answers += 1
        for fragment in answer["fragments"]:
            piece = (fragment["on"], fragment["seq"])
            assert fragment["seq"] > self.cursor
            assert piece not in self.pieces
            self.pieces.add(piece)
            self.known |= {act["id"] for act in fragment["acts"]}
        self.cursor = answer["cursor"]
        if not answer["more"]:
            self.whole.append((self.cursor, len(self.known)))
        return answer["more"]


def check_reader(reader: Reader, seqs: dict) -> None:
    """Numbers have no gaps, so up to a cursor of N there are N acts: each answer that told all told exactly those."""
    assert {str(act_id) for act_id in seqs} == reader.known
    assert [cursor for cursor, _ in reader.whole] == [count for _, count in reader.whole]
    assert reader.cursor == len(seqs)


# --- ringers ---


def test_two_ringers_tell_each_of_many_due_moments_once():
    now_ms = due_moments(MOMENTS)
    began = time.monotonic()
    ringers = [started(here(), "ring", str(now_ms)) for _ in range(RINGERS)]
    counts = [ended(one, 3600) for one in ringers]
    print(
        f"{MOMENTS} rings told by {RINGERS} ringers in {time.monotonic() - began:.1f} s: {[len(one) for one in counts]}"
    )
    assert sum(len(one) for one in counts) == len({**counts[0], **counts[1]}) == MOMENTS
    assert {count for one in counts for count in one.values()} == {1}
    assert all(counts)
    assert Alert.objects.count() == Alert.objects.exclude(closed_ms=None).count() == MOMENTS
    assert not Delivery.objects.exists()


def due_moments(count: int) -> int:
    """So many panels, each with one ring that is due; a phone in each shop.  The moment at which they are due."""
    shops = Shop.objects.bulk_create(Shop(name=f"Garage {n}", made_ms=0) for n in range(count // PANELS_A_SHOP))
    phones = Phone.objects.bulk_create(
        Phone(shop=shop, token_digest=f"{n}", made_ms=0, seen_ms=0) for n, shop in enumerate(shops)
    )
    Subscription.objects.bulk_create(
        Subscription(phone=phone, endpoint=f"https://push.example/{n}", p256dh="", auth="", home="", made_ms=0)
        for n, phone in enumerate(phones)
    )
    state, opens = one_door()
    names = (f"panel:0199d7a0-0000-7000-8000-{n:012d}" for n in range(count))
    rows = (ThingState(shop=shops[n // PANELS_A_SHOP], on=on, seq=n, state=state) for n, on in enumerate(names))
    ThingState.objects.bulk_create(rows, batch_size=2000)
    return opens + MINUTE_MS


def one_door() -> tuple[dict, int]:
    """The folded state of a panel with putty on it, and when it can be sanded."""
    rnd, shop = random.Random(4), Shop.objects.create(name="One", made_ms=0)
    door = panel_of(rnd, "Hood", 1)
    kept(shop, [door, putty_on(rnd, door, 0)])
    ringer.look(logs.NOW_MS)
    row = ThingState.objects.get(shop=shop, on=door["on"])
    shop.delete()
    return row.state, row.next_at_ms


# --- servers ---


def test_two_servers_on_one_database_show_one_floor(tmp_path):
    one = Server(tmp_path / "one", "--one-shop").start(DATABASE_URL=here())
    two = Server(tmp_path / "two", "--one-shop").start(DATABASE_URL=here())
    try:
        token = begin(one.address)
        acts = [tap() for _ in range(3)]
        answer = sync(one.address, token, acts, 0)
        assert {verdict["verdict"] for verdict in answer["verdicts"]} == {"kept"}
        heard = sync(two.address, token, [], 0)
        assert {act["id"] for act in acts} <= {act["id"] for one in heard["fragments"] for act in one["acts"]}
        assert urllib.request.urlopen(f"{two.address}clock", timeout=10).status == 200
        assert Shop.objects.count() == 1
    finally:
        one.stop()
        two.stop()


def test_of_servers_that_start_at_once_one_brings_the_database_up_to_date_and_the_others_wait():
    entered = threading.Event()

    def another():
        with database.migrating(connection):  # a connection of this thread's own
            entered.set()
        connection.close()

    with database.migrating(connection):
        thread = threading.Thread(target=another)
        thread.start()
        until(lambda: _waiting() == 1, 60)
        assert not entered.is_set()
    thread.join(timeout=60)
    assert entered.is_set()


def _waiting() -> int:
    """How many wait for a lock that programs agree on."""
    with connection.cursor() as cursor:
        cursor.execute("SELECT count(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted")
        return cursor.fetchone()[0]


def test_a_tap_does_not_wait_for_a_ringer_that_is_at_work_on_its_shop():
    """Nor the ringer for the tap: each would hold what the other wants."""
    rnd, shop = random.Random(4), access.new_shop("Any garage", "UTC", 0)
    kept(shop, [panel_of(rnd)])
    there = connection.copy()
    there.set_autocommit(False)
    try:
        with there.cursor() as working:  # a ring that is just being written; it names the shop
            working.execute("SET CONSTRAINTS ALL IMMEDIATE")
            working.execute(ALERT, [uuid.uuid4(), shop.pk])
        with connection.cursor() as cursor:
            cursor.execute("SET lock_timeout = '10s'")
            assert kept(shop, [panel_of(rnd)]) == [2]
    finally:
        there.close()
        connection.close()  # and with it the limit
