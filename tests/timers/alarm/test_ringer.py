"""The server's ringer: each ring told once to each phone that wants it, at its moment."""

import importlib

import pytest
from django.apps import apps

from shop.models import Phone, Shop, Subscription
from tests.support.bell import NOW_MS
from tests.timers.core.test_vectors import zone_of
from tests.timers.log.test_log import kept, tap
from timers.alarm import messages, ringer, scan
from timers.core.base.units import HOUR_MS, MINUTE_MS
from timers.models import Alert, Delivery, ThingState

pytestmark = pytest.mark.django_db
SECOND_MS = 1000


def test_each_phone_is_told_once_when_the_moment_has_come_and_not_before(bell):
    on = bell.door()
    assert bell.at(NOW_MS) == []
    opens = bell.opening(on)
    assert NOW_MS + 10 * MINUTE_MS < opens < NOW_MS + HOUR_MS
    assert bell.at(opens - 1) == []
    assert bell.at(opens) == ["/0 Left front door", "/1 Left front door"]
    assert [bell.at(opens + later) for later in (0, SECOND_MS, HOUR_MS)] == [[], [], []]
    told = Alert.objects.get()
    assert (told.on, told.at_ms, told.claimed_ms, told.closed_ms) == (on, opens, opens, opens)
    assert not Delivery.objects.exists()
    assert set(Subscription.objects.values_list("last_ok_ms", "fails")) == {(opens, 0)}


def test_what_is_told_says_the_panel_what_can_be_done_and_the_clock_time(bell):
    on = bell.door()
    bell.at(NOW_MS)
    bell.at(bell.opening(on))
    said = bell.said(bell.service.came[0][2])
    assert said["title"] == "Left front door"
    assert said["body"].startswith("Try it")
    assert said["navigate"] == f"https://clock.example.org/#panel={on}"
    assert said["tag"] == Alert.objects.get().key


def test_a_clock_that_moves_with_the_air_moves_its_ring(bell):
    on = bell.door()
    bell.at(NOW_MS)
    before = bell.opening(on)
    kept(bell.shop, [tap(bell.rnd, temp_dc=300)])
    assert ThingState.objects.get(on=on).next_at_ms == 0
    bell.at(NOW_MS + 1)
    assert bell.opening(on) < before
    assert ThingState.objects.get(on="air").next_at_ms is None


def test_a_release_with_other_rules_has_every_panel_on_the_floor_looked_at_again(bell):
    on, gone = bell.door(), bell.door("Hood")
    kept(bell.shop, [tap(bell.rnd, gone, "panel_put_away", 1, x=0)])
    bell.at(NOW_MS)
    ThingState.objects.filter(on=on).update(next_at_ms=scan.NEVER_MS)  # by its rules of before nothing rang any more
    importlib.import_module("timers.migrations.0007_look_again").look_again(apps, None)
    assert list(scan.due(NOW_MS).values_list("on", flat=True)) == [on]
    bell.at(NOW_MS)
    assert ThingState.objects.get(on=on).next_at_ms == bell.opening(on)


def test_acts_on_the_shelf_make_the_ringer_look_at_nothing(bell):
    bell.door()
    bell.at(NOW_MS)
    kept(bell.shop, [tap(bell.rnd, "shop", "units_chosen", units={"temp": "f"})])
    assert not scan.due(NOW_MS + 1).exists()


def test_what_was_silenced_is_not_told_and_neither_is_a_panel_put_away(bell):
    on, away = bell.door(), bell.door("Hood")
    bell.at(NOW_MS)
    opens = bell.opening(on)
    films = ThingState.objects.get(on=on).state["films"]
    key = f"{on} opens sand {films[0]['id'][-12:]}"
    kept(bell.shop, [tap(bell.rnd, on, "ring_silenced", ring=key), tap(bell.rnd, away, "panel_put_away", 1, x=0)])
    assert bell.at(opens + MINUTE_MS) == []
    assert ThingState.objects.get(on=away).next_at_ms is None


def test_what_is_silenced_while_a_phone_could_not_be_told_is_not_told_any_more(bell):
    bell.service.answers["/0"] = [(503, {}), (201, {})]
    on, opens = bell.watched_door()
    assert bell.at(opens) == ["/0 Left front door", "/1 Left front door"]
    silenced = {"ring": Alert.objects.get().key}
    kept(bell.shop, [tap(bell.rnd, on, "ring_silenced", **silenced)])
    assert bell.at(opens + MINUTE_MS) == []
    assert Alert.objects.get().closed_ms is not None


def test_a_ring_that_was_put_off_rings_again(bell):
    on, opens = bell.watched_door()
    bell.at(opens)
    later = opens + 5 * MINUTE_MS
    put_off = tap(bell.rnd, on, "ring_snoozed", NOW_MS - opens, ring=Alert.objects.get().key, until_ms=later)
    kept(bell.shop, [put_off])
    assert bell.at(later - 1) == []
    assert bell.at(later) == ["/0 Left front door", "/1 Left front door"]


def test_after_an_absence_each_phone_gets_one_message(bell):
    doors = [bell.door(name) for name in ("Left front door", "Hood", "Tailgate")]
    bell.at(NOW_MS)
    opens = max(bell.opening(on) for on in doors)
    assert bell.at(opens + 31 * MINUTE_MS) == [
        "/0 3 things rang while this phone could not be told",
        "/1 3 things rang while this phone could not be told",
    ]
    body = bell.said(bell.service.came[0][2])["body"]
    assert set(body.removeprefix("Look at the floor: ").split(", ")) == {"Left front door", "Hood", "Tailgate"}
    assert bell.at(opens + HOUR_MS) == []
    assert Alert.objects.filter(closed_ms=None).count() == 0


def test_what_rang_within_half_an_hour_is_told_one_by_one(bell):
    doors = [bell.door(name) for name in ("Left front door", "Hood")]
    bell.at(NOW_MS)
    opens = max(bell.opening(on) for on in doors)
    heard = bell.at(opens + 29 * MINUTE_MS)
    assert heard == [f"/{n} {name}" for n in (0, 1) for name in ("Hood", "Left front door")]


# --- who wants what ---


def test_a_phone_that_was_ended_is_told_nothing(bell):
    Phone.objects.filter(pk=bell.phones[0].phone_id).update(ended_ms=NOW_MS)
    on = bell.door()
    bell.at(NOW_MS)
    assert bell.at(bell.opening(on)) == ["/1 Left front door"]


def test_a_phone_of_another_shop_is_told_nothing(bell, push_service):
    other = Shop.objects.create(name="Other", zone="UTC", made_ms=NOW_MS)
    Phone.objects.filter(pk=bell.phones[0].phone_id).update(shop=other)
    on = bell.door()
    bell.at(NOW_MS)
    assert bell.at(bell.opening(on)) == ["/1 Left front door"]


def test_a_phone_is_told_the_kinds_it_wants_and_not_in_its_quiet_hours(bell):
    bell.phone("/opens", kinds=["opens"])
    bell.phone("/shut", kinds=["shut"])
    _, opens = bell.watched_door()
    minute = opens % (24 * HOUR_MS) // MINUTE_MS
    bell.phone("/asleep", quiet=[minute, (minute + 1) % 1440])
    bell.phone("/awake", quiet=[(minute + 1) % 1440, minute])
    bell.phone("/none", kinds=[])
    assert [said.split()[0] for said in bell.at(opens)] == ["/0", "/1", "/awake", "/opens"]


def test_what_rang_in_the_quiet_hours_and_still_stands_is_told_when_they_end(bell):
    Subscription.objects.all().delete()
    opens_on, gone_on = bell.door(), bell.door("Hood")
    bell.at(NOW_MS)
    opens = bell.opening(opens_on)
    minute = opens % (24 * HOUR_MS) // MINUTE_MS
    bell.phone("/asleep", quiet=[minute, (minute + 10) % 1440])
    assert bell.at(opens + 1) == []
    kept(bell.shop, [tap(bell.rnd, gone_on, "panel_put_away", 1, x=0)])
    awake = (opens // MINUTE_MS + 10) * MINUTE_MS
    assert bell.at(awake - 1) == []
    assert bell.at(awake) == ["/asleep Left front door"]


def test_quiet_hours_go_over_midnight_in_the_time_of_the_shop():
    wants, hours = {"quiet": [22 * 60, 6 * 60]}, (20, 21, 4, 5)
    told = [messages.told_at(wants, "opens", hour * HOUR_MS + 1, zone_of(60)) for hour in hours]
    assert told == [20 * HOUR_MS + 1, 29 * HOUR_MS, 5 * HOUR_MS, 5 * HOUR_MS + 1]


def test_a_trial_rings_its_phone_and_no_other_in_half_a_minute(bell):
    at_ms = ringer.trial(bell.phones[1], NOW_MS)
    assert at_ms == NOW_MS + 30_000
    assert bell.at(at_ms - 1) == []
    ringer.put_right(at_ms - 1)
    assert bell.at(at_ms) == ["/1 Trial ring"]
