"""The alarms ahead as a calendar that an app subscribes to, read by a library; the floor's air and what is ahead."""

import base64
import time

import icalendar
import pytest
from django.test import Client

from tests.shop.security.test_access import SECRET, begun, token_of
from tests.support.read_shop import CLEAR, NOW_S, Bench, frozen
from tests.timers.web.test_api import follows
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.shops.demo import demo_shop

pytestmark = pytest.mark.django_db


@pytest.fixture
def bench():
    with frozen():
        yield Bench()


# --- the calendar ---


def calendar(answer) -> icalendar.Calendar:
    assert answer.headers["Content-Type"] == "text/calendar; charset=utf-8"
    made = icalendar.Calendar.from_ical(answer.content)
    assert not [part.errors for part in made.walk() if part.errors]
    assert made["REFRESH-INTERVAL"].to_ical() == b"PT15M"
    return made


def events(answer) -> dict[str, icalendar.Event]:
    return {str(event["UID"]): event for event in calendar(answer).walk("VEVENT")}


def test_the_rings_ahead_are_events_with_an_alarm_each(bench):
    bench.laid(5)
    found = events(bench.get("/alarms.ics"))
    opens, closing, shut = sorted(found.values(), key=lambda event: event["DTSTART"].dt)
    assert str(opens["SUMMARY"]).startswith(f"{SECRET}: coat 2 can go on. Until ")
    assert opens["DTSTART"].dt.timestamp() == NOW_S + 15 * 60
    assert shut["DTSTART"].dt.timestamp() == NOW_S + 235 * 60
    assert str(closing["SUMMARY"]).startswith(f"{SECRET}: the window shuts at ")
    assert str(opens["DESCRIPTION"]).startswith(
        "Grey; van\nAs the clocks stood when this file was made. The data sheet"
    )
    for event in found.values():
        assert [alarm["TRIGGER"].dt.total_seconds() for alarm in event.walk("VALARM")] == [0]
        assert event["STATUS"] == "CONFIRMED"


def test_a_clock_that_moves_keeps_its_uid_and_counts_higher_and_what_is_gone_is_left_out(bench):
    on = bench.laid(5)
    first = events(bench.get("/alarms.ics"))
    assert events(bench.get("/alarms.ics")).keys() == first.keys()
    bench.did("air", "air_read", 4, temp_dc=150)
    moved = events(bench.get("/alarms.ics"))
    assert moved.keys() == first.keys()
    for uid, event in moved.items():
        assert event["SEQUENCE"] > first[uid]["SEQUENCE"]
        assert event["DTSTART"].dt != first[uid]["DTSTART"].dt
    bench.did(on, "panel_put_away")
    assert calendar(bench.get("/alarms.ics")).walk("VEVENT") == []


def test_an_act_on_another_panel_counts_nothing_higher(bench):
    bench.laid(5)
    first = events(bench.get("/alarms.ics"))
    bench.did("panel:01956000-0000-7000-8000-0000000000ab", "panel_added", name="Other", steps=[])
    again = events(bench.get("/alarms.ics"))
    assert {uid: event["SEQUENCE"] for uid, event in again.items()} == {uid: e["SEQUENCE"] for uid, e in first.items()}


def test_where_nothing_will_ring_the_calendar_is_empty_and_still_one(bench):
    found = calendar(bench.get("/alarms.ics"))
    assert [part.name for part in found.subcomponents] == ["VTIMEZONE"]
    assert found["NAME"] == f"Sandtime: {bench.shop.name}"


def basic(token: str, name: str = "any") -> dict:
    return {"Authorization": "Basic " + base64.b64encode(f"{name}:{token}".encode()).decode()}


def test_a_calendar_app_gives_the_token_of_a_display_as_a_password(bench):
    bench.laid(5)
    token = bench.display()
    for headers in (basic(token), basic(token, ""), {"Authorization": f"Bearer {token}"}):
        assert len(events(Client().get("/alarms.ics", headers=headers))) == 3
    assert Client().get("/floor.json", headers=basic(token)).status_code == 401


@pytest.mark.parametrize("header", ["Basic", "Basic !", "Basic YQ==", basic("none")["Authorization"], "Digest x", ""])
def test_an_app_without_a_right_password_is_asked_for_one(bench, header):
    answer = Client().get("/alarms.ics", headers={"Authorization": header} if header else {})
    assert (answer.status_code, answer.content.decode()) == (401, "This phone belongs to no shop here.")
    assert answer.headers["WWW-Authenticate"] == 'Basic realm="Sandtime", charset="UTF-8"'


def test_a_phones_token_is_no_password_and_a_password_does_not_fall_back_on_a_cookie(bench):
    assert Client().get("/alarms.ics", headers=basic(bench.token)).status_code == 401
    assert bench.client.get("/alarms.ics", headers=basic("none")).status_code == 401
    assert bench.client.get("/alarms.ics").status_code == 200


def test_the_calendar_of_the_demo_is_one_that_a_library_reads(settings):
    settings.OPEN_SHOP = True
    demo_shop("Europe/Vienna", time.time_ns() // 1_000_000)
    token = token_of(begun())
    found = events(Client().get("/alarms.ics", headers={"Authorization": f"Bearer {token}"}))
    assert len(found) >= 3
    assert all(0 < event["DTSTART"].dt.timestamp() - time.time() < 30 * DAY_MS / 1000 for event in found.values())


# --- the floor ---


def test_the_floor_says_the_air_and_its_dew_point(bench):
    assert bench.get("/floor.json").json()["air"] is None
    bench.did("air", "air_read", 150, temp_dc=200)
    dry = bench.get("/floor.json").json()
    follows("Floor", dry)
    assert (dry["air"]["temp_c"], dry["air"]["dew_point_c"], dry["air"]["stale"]) == (20.0, None, True)
    bench.did("air", "air_read", 10, temp_dc=200, rh_pm=600)
    follows("Floor", bench.get("/floor.json").json())
    assert bench.get("/floor.json").json()["air"] == {
        **{"read_at": "2026-11-25T13:30:00Z", "stale": False, "temp_c": 20.0, "humidity_percent": 60.0},
        **{"dew_point_c": 12.1, "above_dew_point_c": 7.9},  # 12.0 by Magnus, rounded up with its margin
    }


def ahead(bench: Bench) -> dict | None:
    said = bench.get("/floor.json").json()
    follows("Floor", said)
    return said["cards"][0]["ahead"]


def test_a_card_says_what_its_next_film_would_meet_in_the_night(bench):
    gates = {"flash": [[200, MINUTE_MS, 2 * MINUTE_MS]], "recoat_by": [[200, 10 * HOUR_MS, 10 * HOUR_MS]]}
    bench.wrote({**CLEAR, "name": "A surfacer", "cls": "surfacer", "gates": gates})
    bench.laid(60)
    zone = {"A surfacer": "Its window shuts 23:40, in the night."}
    assert ahead(bench) == {"product": "A surfacer", "variant": "", "words": [zone["A surfacer"]]}
    bench.did("air", "air_read", 1, temp_dc=100)
    assert "The air is at 10 °C: this product needs 15 °C or more." in ahead(bench)["words"]


def test_a_card_says_nothing_ahead_while_no_film_may_go_on(bench):
    bench.laid(5)
    assert ahead(bench) is None
