"""The server's ringer in trouble: push services that are slow or down, ringers that die, clocks that step."""

import pytest

from shop.models import Subscription
from shop.push import webpush
from tests.support.bell import NOW_MS
from tests.support.pushed import until
from timers.alarm import ringer
from timers.core.base.units import HOUR_MS, MINUTE_MS
from timers.models import Delivery, ThingState

pytestmark = pytest.mark.django_db
SECOND_MS = 1000


# --- push services ---


def test_a_phone_that_asks_to_wait_is_told_when_the_wait_is_over(bell):
    bell.service.answers["/0"] = [(429, {"Retry-After": "7"}), (201, {})]
    _, opens = bell.watched_door()
    assert len(bell.at(opens)) == 2
    assert Subscription.objects.get(pk=bell.phones[0].pk).fails == 1
    assert bell.at(opens + 6_999) == []
    assert bell.at(opens + 7_000) == ["/0 Left front door"]
    assert Subscription.objects.get(pk=bell.phones[0].pk).fails == 0


def test_a_phone_that_is_gone_is_removed_and_the_others_are_told(bell, caplog):
    bell.service.answers["/0"] = [(410, {})]
    on = bell.door()
    bell.at(NOW_MS)
    assert len(bell.at(bell.opening(on))) == 2
    assert list(Subscription.objects.all()) == [bell.phones[1]]
    assert "410: the push service does not know this phone any more" in caplog.text


def test_a_push_service_that_was_down_for_long_gives_one_message(bell):
    bell.service.answers["/0"] = [(500, {})]
    doors = [bell.door(name) for name in ("Left front door", "Hood")]
    bell.at(NOW_MS)
    opens = max(bell.opening(on) for on in doors)
    bell.at(opens)
    bell.service.answers["/0"] = [(201, {})]
    assert bell.at(opens + HOUR_MS) == ["/0 2 things rang while this phone could not be told"]


def test_a_push_service_that_stays_down_is_given_up_after_a_day(bell):
    bell.service.answers["/0"] = [(500, {})]
    _, opens = bell.watched_door()
    bell.at(opens)
    bell.at(opens + ringer.GIVE_UP_MS)
    assert not Delivery.objects.exists()


def test_a_push_service_that_hangs_holds_no_other_phone_up(bell, monkeypatch):
    monkeypatch.setattr(webpush, "TIMEOUT_S", 1.5)
    bell.service.answers["/0"] = [("hang", {})]
    doors = {name: bell.door(name, ago_ms) for name, ago_ms in (("Hood", MINUTE_MS), ("Left front door", 0))}
    bell.at(NOW_MS)
    for name, on in doors.items():
        bell.now_ms = bell.opening(on)
        bell.ringer.turn()
        until(lambda name=name: any(one["notification"]["title"] == name for one in bell.service.heard("/1")), 1)
        bell.ringer.turn()
    assert [path for path, _, _ in bell.service.came].count("/0") == 1
    bell.ringer.settle()


# --- ringers that die, clocks that step ---


def test_a_ringer_that_dies_while_it_tells_leaves_it_to_the_next_one(bell):
    _, opens = bell.watched_door()
    ringer.look(opens)
    assert len(ringer.claim(opens)) == 2
    bell.ringer = ringer.Ringer(lambda: bell.now_ms)
    ringer.put_right(opens + 1)
    assert bell.at(opens + ringer.LEASE_MS - 1) == []
    assert bell.at(opens + ringer.LEASE_MS) == ["/0 Left front door", "/1 Left front door"]


def test_what_one_ringer_has_taken_no_other_takes(bell):
    _, opens = bell.watched_door()
    for _ in range(2):
        ringer.look(opens)
    assert [len(ringer.claim(opens)) for _ in range(3)] == [2, 0, 0]


def test_after_a_restart_nothing_is_told_twice(bell):
    _, opens = bell.watched_door()
    bell.at(opens)
    bell.ringer = ringer.Ringer(lambda: bell.now_ms)
    ringer.put_right(opens + SECOND_MS)
    assert bell.at(opens + SECOND_MS) == []


def test_a_clock_that_ran_ahead_and_was_set_back_rings_again_at_the_true_moment(bell):
    _, opens = bell.watched_door()
    assert len(bell.at(NOW_MS + 3 * HOUR_MS)) == 2
    ringer.put_right(NOW_MS + MINUTE_MS)
    assert bell.at(NOW_MS + MINUTE_MS) == []
    assert bell.at(opens) == ["/0 Left front door", "/1 Left front door"]


def test_a_clock_that_is_set_back_after_a_true_ring_a_little_rings_nothing_twice(bell):
    _, opens = bell.watched_door()
    bell.at(opens)
    ringer.put_right(opens - 30 * SECOND_MS)
    assert [bell.at(opens + at * SECOND_MS) for at in (-30, 0, 30)] == [[], [], []]


def test_a_wait_set_by_a_clock_far_ahead_does_not_hold_a_phone_up(bell):
    bell.service.answers["/0"] = [(429, {"Retry-After": "7"}), (201, {})]
    _, opens = bell.watched_door()
    bell.at(opens)
    Delivery.objects.update(try_ms=opens + 365 * 24 * HOUR_MS)
    assert bell.at(opens + MINUTE_MS) == ["/0 Left front door"]


def test_a_thing_that_cannot_be_reckoned_stops_no_other(bell, caplog):
    broken, on = bell.door("Hood"), bell.door()
    state = ThingState.objects.get(on=broken).state
    ThingState.objects.filter(on=broken).update(state={**state, "films": [{}]})
    bell.at(NOW_MS)
    assert len(bell.at(bell.opening(on))) == 2
    assert f"{broken} could not be reckoned" in caplog.text
