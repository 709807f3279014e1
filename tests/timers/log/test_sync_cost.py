"""What a sync asks of the database, counted, and that what it need not ask again is the same as if it had."""

import json
import random
import re

import pytest
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Phone
from shop.security import access
from tests.random_logs import logs
from tests.timers.log.test_sync import STEPS, now_ms, panel, tap
from timers.log import reader, sync
from timers.log.epoch import Heard

ASKED = [  # for one act on a panel of a phone that has heard all the rest
    "SELECT shop_phone",  # who is this, and its shop
    "BEGIN",
    "SELECT shop_shop",  # where the shop stands, held; how far others have heard
    "SELECT timers_act",  # is the act new, and what else there is of its thing
    "INSERT timers_act",
    "INSERT timers_thingstate",
    "UPDATE shop_shop",
    "COMMIT",
]


class Counted:
    """A phone of a shop that has heard all, and what its syncs ask."""

    def __init__(self):
        self.shop = access.new_shop("Any garage", "UTC", now_ms())
        self.phone, token = access.new_phone(self.shop, Phone.Role.PAINTER, now_ms())
        access.new_phone(self.shop, Phone.Role.PAINTER, now_ms())
        self.client = Client(headers={"Authorization": f"Bearer {token}", "X-Sandtime": "1"})
        self.cursor = 0

    def asks(self, acts: list, htmx: bool = False) -> list[str]:
        """What one sync asks, each as its verb and its table."""
        with CaptureQueriesContext(connection) as asked:
            if htmx:
                said = {"acts": json.dumps(acts), "cursor": self.cursor}
                answer = self.client.post("/sync", said, headers={"HX-Request": "true"})
                self.cursor += len(acts)
            else:
                body = {"acts": acts, "cursor": self.cursor}
                answer = self.client.post("/sync", body, content_type="application/json")
                self.cursor = answer.json()["cursor"]
        assert answer.status_code == 200
        return [said for said in map(_short, asked.captured_queries) if said != "NOTIFY"]


def _short(query: dict) -> str:
    verb = query["sql"].split()[0]
    tables = re.findall(r'(?:FROM|INTO|UPDATE) "?(\w+)', query["sql"])
    if not tables:
        return "NOTIFY" if "pg_notify" in query["sql"] else verb
    return f"{verb} {tables[-1 if verb == 'SELECT' else 0]}"


@pytest.fixture
def counted() -> Counted:
    return Counted()


@pytest.mark.django_db(transaction=True)
def test_one_act_of_a_phone_that_has_heard_all_asks_eight_things(counted):
    door = panel()
    counted.asks([tap(), door])
    assert counted.asks([tap(door["on"], "panel_named", name="Hood")]) == ASKED
    assert counted.asks([tap(door["on"], "step_done", step=STEPS[0]["id"])]) == ASKED


@pytest.mark.django_db(transaction=True)
def test_a_reading_makes_the_ringer_look_again_and_a_page_is_answered_with_no_more_questions(counted):
    door = panel()
    counted.asks([tap(), door])
    assert counted.asks([tap()]) == [*ASKED[:6], "UPDATE timers_thingstate", *ASKED[6:]]
    named = tap(door["on"], "panel_named", name="Hood")
    assert counted.asks([named], htmx=True) == ASKED


@pytest.mark.django_db(transaction=True)
def test_a_sync_with_nothing_to_say_or_to_hear_asks_two_things(counted):
    counted.asks([panel()])
    assert counted.asks([]) == ["SELECT shop_phone", "SELECT shop_shop"]


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(20))
def test_what_is_told_without_asking_again_is_what_a_reader_is_told(seed):
    rnd = random.Random(seed)
    shop = access.new_shop("Any garage", "UTC", logs.NOW_MS)
    phone, _ = access.new_phone(shop, Phone.Role.PAINTER, logs.NOW_MS)
    makers = [logs.panel_log, logs.air_log, logs.product_log, logs.cup_log, logs.shop_log]
    acts = [act for maker in makers for act in maker(rnd, 12)] + [logs.broken_act(rnd)]
    rnd.shuffle(acts)
    cursor = 0
    for at in range(0, len(acts), 7):
        batch = [*acts[at : at + 7], *rnd.sample(acts[:at], min(at, 2))]
        told = sync.exchange(phone, batch, Heard(cursor), logs.NOW_MS)
        read = reader.changed(shop, Heard(cursor), logs.NOW_MS, phone_id=str(phone.pk))
        assert _same({key: told[key] for key in read}) == _same(read)
        assert told["fragments"]
        cursor = told["cursor"]


def _same(answer: dict) -> str:
    return json.dumps(answer, sort_keys=True)
