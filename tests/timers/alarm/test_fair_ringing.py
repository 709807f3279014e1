"""Trials of push have a limit, and one shop's noise is not another shop's wait."""

import threading
import time

import pytest
from django.test import Client

from shop.models import Phone, RateLimit, Shop, Subscription
from shop.security import access
from tests.shop.security.test_access import begun
from tests.support.bell import NOW_MS
from tests.timers.web.test_push_asking import asked
from timers.alarm import ringer
from timers.alarm.round_robin import Turns


def subscribed(push_service) -> Client:
    client = begun()
    assert asked(client, "subscribe", push_service.keys(f"/{Phone.objects.count()}")).status_code == 200
    return client


@pytest.mark.django_db
def test_a_phone_is_tried_three_times_a_minute_and_is_told_to_wait(push_service):
    one, other = subscribed(push_service), subscribed(push_service)
    answers = [asked(one, "trial") for _ in range(4)]
    assert [answer.status_code for answer in answers] == [200, 200, 200, 429]
    assert answers[3].content.decode() == "This phone was tried a moment ago. Wait a minute."
    assert asked(other, "trial").status_code == 200


@pytest.mark.django_db
def test_a_shop_tries_its_phones_so_often_in_ten_minutes(push_service, settings):
    settings.TRIALS_PER_SHOP = 2
    one = subscribed(push_service)
    assert [asked(one, "trial").status_code for _ in range(3)] == [200, 200, 429]
    RateLimit.objects.update(until_ms=1)
    assert asked(one, "trial").status_code == 200


@pytest.mark.django_db
def test_of_what_is_owed_each_shop_gets_its_part(bell, monkeypatch):
    monkeypatch.setattr(ringer, "MOST", 6)
    for subscription in [*bell.phones] * 20:
        ringer.trial(subscription, NOW_MS)
    quiet = Shop.objects.create(name="Quiet garage", made_ms=NOW_MS)
    phone, _ = access.new_phone(quiet, Phone.Role.PAINTER, NOW_MS)
    fields = {"home": "https://clock.example.org/", "made_ms": NOW_MS}
    ringer.trial(Subscription.objects.create(phone=phone, **bell.service.keys("/quiet"), **fields), NOW_MS)
    mine = ringer.claim(NOW_MS + ringer.TRIAL_MS)
    assert len(mine) == 6
    assert phone.pk in {row.subscription.phone_id for row in mine}


def test_a_shop_whose_push_service_is_slow_leaves_roads_free_for_others():
    turns, done, slow = Turns(2), [], threading.Event()
    for n in range(20):
        turns.put("noisy", n)
    turns.put("quiet", "ring")

    def road():
        with turns.taken() as work:
            if work != "ring":
                slow.wait(20)
            done.append(work)

    roads = [threading.Thread(target=road, daemon=True) for _ in range(8)]
    for one in roads:
        one.start()
    end = time.monotonic() + 10
    while "ring" not in done and time.monotonic() < end:
        time.sleep(0.01)
    assert done == ["ring"]
    slow.set()
    for one in roads:
        one.join(10)
    assert len(done) == 8
