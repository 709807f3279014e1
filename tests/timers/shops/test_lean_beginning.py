"""A shop that nobody uses costs two rows, is told whole all the same, and is forgotten; one that is used is not."""

import pytest
from django.core.management import call_command
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.models import Phone, RateLimit, Shop
from tests.shop.security.test_access import OWN, begun, post, tap
from tests.support.joins import asked, joined
from timers.alarm import retention
from timers.core.base.units import DAY_MS
from timers.defaults import initial_acts, products, routes
from timers.models import Act, ThingState
from timers.web.pages import now_ms

pytestmark = pytest.mark.django_db
ALL = len(products.PRODUCTS) + len(routes.ROUTES)


def synced(client: Client, cursor: int = 0, memory: str = "", acts: tuple = ()) -> dict:
    body = {"cursor": cursor, "memory": memory, "acts": list(acts)}
    answer = client.post("/sync", body, content_type="application/json", headers=OWN)
    assert answer.status_code == 200
    return answer.json()


def test_a_new_shop_is_one_row_and_its_phone_another_and_nothing_else():
    begun()
    assert (Shop.objects.count(), Phone.objects.count()) == (1, 1)
    assert not Act.objects.exists()
    assert not ThingState.objects.exists()


def test_the_shelf_is_told_the_same_before_and_after_it_stands_in_the_log():
    client = begun()
    before, again = synced(client), synced(client)
    assert (len(before["fragments"]), before["cursor"], before["unused"]) == (ALL, ALL, True)
    assert before["fragments"] == again["fragments"]
    assert synced(client, ALL, before["memory"])["fragments"] == []
    kept = synced(client, ALL, before["memory"], [tap()])
    assert [(one["on"], one["seq"]) for one in kept["fragments"]] == [("air", ALL + 1)]
    after = synced(client)
    assert after["fragments"] == [*before["fragments"], *kept["fragments"]]
    assert (after["memory"], after["unused"]) == (before["memory"], False)
    assert list(Act.objects.order_by("seq").values_list("seq", flat=True)) == list(range(1, ALL + 2))


def test_a_refused_act_writes_nothing_and_one_of_the_shelf_itself_is_known():
    client = begun()
    first = synced(client)["fragments"][0]["acts"][0]
    known = synced(client, acts=[first])["verdicts"][0]
    assert (known["verdict"], known["seq"]) == ("already kept", 1)
    other = {**first, "doc": {**first["doc"], "name": "Another"}}
    assert synced(client, acts=[other])["verdicts"][0]["verdict"] == "refused"
    assert not Act.objects.exists()


def test_a_sheet_of_the_shelf_may_be_put_away_as_the_first_act():
    client = begun()
    on = synced(client)["fragments"][0]["on"]
    answer = synced(client, ALL, acts=[tap(on, "sheet_put_away", x=0)])
    assert [one["on"] for one in answer["fragments"]] == [on]
    assert answer["fragments"][0]["state"]["doc"]
    assert len(answer["fragments"][0]["acts"]) == 2


def test_a_release_with_another_shelf_is_told_anew_under_another_memory(monkeypatch):
    client = begun()
    before = synced(client)
    later = [{**products.PRODUCTS[0], "lowest_dc": 111}, *products.PRODUCTS[1:]]
    monkeypatch.setattr(products, "PRODUCTS", later)
    initial_acts._defaults.cache_clear()
    try:
        after = synced(client, ALL, before["memory"])
    finally:
        initial_acts._defaults.cache_clear()
    assert after["memory"] != before["memory"]
    assert len(after["fragments"]) == ALL
    assert after["fragments"][0]["state"]["doc"]["lowest_dc"] == 111
    ids = [[one["acts"][0]["id"] for one in answer["fragments"]] for answer in (before, after)]
    assert ids[0] == ids[1]  # so that no phone takes one for lost


def test_a_backup_carries_a_shop_that_was_never_used(tmp_path):
    client = begun()
    before = synced(client)
    call_command("backup", tmp_path / "kept", verbosity=0)
    call_command("verify", tmp_path / "kept", verbosity=0)
    call_command("restore", tmp_path / "kept", replace=True)
    after = synced(client, ALL, before["memory"])
    assert after["fragments"] == before["fragments"]
    assert synced(client, ALL, after["memory"], [tap()])["cursor"] == ALL + 1


# --- how often ---


def test_an_address_begins_so_often_and_others_go_on(settings):
    settings.BEGINS_PER_ADDRESS = 2
    one, two, three = (asked(Client(), "begin") for _ in range(3))
    assert [answer.status_code for answer in (one, two, three)] == [200, 200, 429]
    assert three.content.decode().startswith("Many phones have begun here just now.")
    assert asked(Client(REMOTE_ADDR="192.0.2.7"), "begin").status_code == 200
    RateLimit.objects.update(until_ms=1)
    assert asked(Client(), "begin").status_code == 200


def test_all_addresses_together_begin_so_often_in_an_hour(settings):
    settings.BEGINS_PER_HOUR = 3
    tries = [asked(Client(REMOTE_ADDR=f"192.0.2.{n}"), "begin").status_code for n in range(4)]
    assert tries == [200, 200, 200, 429]


# --- forgotten ---


def test_a_shop_that_nobody_used_is_forgotten_a_day_after_its_phone_was_seen():
    client = begun()
    synced(client)
    assert retention.forget_shops(now_ms() + DAY_MS - 60_000) == 0
    assert retention.forget_shops(now_ms() + DAY_MS + 60_000) == 1
    assert not Shop.objects.exists()
    answer = post(client)
    assert (answer.status_code, answer.headers["Sandtime-Phone"]) == (401, "unknown")


def test_no_shop_is_forgotten_in_which_something_was_done_or_that_has_a_second_phone_a_phrase_or_a_gauge(settings):
    tapped, several, phrased, gauged = begun(), begun(), begun(), begun()
    post(tapped, [tap()])
    joined(several)
    assert asked(phrased, "phones/phrase").status_code == 200
    assert asked(gauged, "thermometers/make", name="Door").status_code == 200
    begun()
    settings.UNUSED_HOURS = 0
    assert retention.forget_shops(now_ms() + 100 * DAY_MS) == 0
    settings.UNUSED_HOURS = 24
    assert retention.forget_shops(now_ms() + 100 * DAY_MS) == 1
    assert Shop.objects.count() == 4


def test_shops_are_forgotten_in_portions(monkeypatch):
    monkeypatch.setattr(retention, "MOST_SHOPS", 2)
    for _ in range(3):
        begun()
    assert [retention.forget_shops(now_ms() + 2 * DAY_MS) for _ in range(3)] == [2, 1, 0]


def test_a_shop_deleted_under_a_phone_that_taps_tells_it_that_nobody_knows_it(monkeypatch):
    client = begun()
    phone = Phone.objects.select_related("shop").get()
    monkeypatch.setattr("shop.security.access._live_phone", lambda token, at_ms: phone)
    Shop.objects.all().delete()
    assert post(client, [tap()]).status_code == 401


def test_the_first_act_asks_one_thing_more_for_each_table_and_the_second_none():
    client = begun()
    counts = []
    for _ in range(3):
        with CaptureQueriesContext(connection) as asks:
            post(client, [tap()], cursor=ALL)
        counts.append(len(asks))
    assert counts[0] <= counts[1] + 3
    assert counts[1] == counts[2]
