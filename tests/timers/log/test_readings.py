"""A thermometer on the wall: it may say readings and nothing else, and a year of them stays quick."""

import json
import re
import shlex
import time
from datetime import UTC, datetime, timedelta

import pytest
from django.test import Client
from freezegun import freeze_time

from shop.models import Shop, Thermometer
from tests.conftest import ROOT
from tests.shop.security.test_access import OWN, begun, post, tap, token_of
from timers.core.base.units import DAY_MS
from timers.core.clock import air
from timers.log import reader
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db
NOON = datetime(2026, 11, 25, 12, tzinfo=UTC)


def made(name: str = "By the door") -> tuple[Client, str]:
    """A keeper's phone and the token of its new thermometer."""
    keeper = begun()
    answer = keeper.post("/thermometers/make", {"name": name}, headers=OWN)
    assert answer.status_code == 200, answer.content
    return keeper, answer.json()["token"]


def say(token: str, body: object, raw: str = ""):
    headers = {"Authorization": f"Bearer {token}"}
    return Client().post("/readings", raw or json.dumps(body), "application/json", headers=headers)


def after(minutes: float):
    return freeze_time(NOON + timedelta(minutes=minutes))


def read_at(token: str, minutes: float, **fields) -> bool:
    with after(minutes):
        answer = say(token, fields)
    assert answer.status_code in (200, 201), answer.content
    assert answer.json()["kept"] == (answer.status_code == 201)
    return answer.json()["kept"]


def readings() -> list:
    return reader.air_of(Shop.objects.earliest("made_ms"))["readings"]


def at_ms(minutes: float = 0) -> int:
    return int((NOON + timedelta(minutes=minutes)).timestamp() * 1000)


# --- what it says ---


def test_a_reading_becomes_an_act_of_the_shops_air():
    _, token = made()
    with after(0):
        answer = say(token, {"temp_c": 18.46, "humidity_percent": 52})
    assert (answer.status_code, answer.json()) == (201, {"kept": True, "at": "2026-11-25T12:00:00+00:00"})
    assert readings() == [[at_ms(), 185, 520]]
    assert Act.objects.get(on="air").body["by"] == "By the door"


def test_a_reading_may_say_when_it_was():
    _, token = made()
    with after(0):
        assert say(token, {"temp_c": -3, "at": "2026-11-25T12:30:00+01:00"}).status_code == 201
    assert readings() == [[at_ms(-30), -30, None]]


@pytest.mark.parametrize(
    ("later", "fields", "kept"),
    [
        (29, {"temp_c": 20.2}, False),
        (29, {"temp_c": 20.3}, True),
        (29, {"temp_c": 19.7}, True),
        (29, {"temp_c": 20, "humidity_percent": 52}, False),
        (29, {"temp_c": 20, "humidity_percent": 53}, True),
        (30, {"temp_c": 20}, True),
        (4.9, {"temp_c": 35}, False),
        (5, {"temp_c": 35}, True),
    ],
)
def test_a_reading_that_says_nothing_new_makes_no_act(later, fields, kept):
    _, token = made()
    assert read_at(token, 0, temp_c=20, humidity_percent=50)
    assert read_at(token, later, **fields) == kept
    assert len(readings()) == 1 + kept
    assert Thermometer.objects.get().last["at"] == at_ms(later)


def test_it_is_held_against_what_a_person_read_last():
    keeper, token = made()
    assert read_at(token, 0, temp_c=20)
    with after(6):
        post(keeper, [{**tap(temp_dc=250), "at": at_ms(6)}])
    assert read_at(token, 12, temp_c=20)


@pytest.mark.parametrize(
    ("body", "why"),
    [
        ([], 'The body is not a JSON object such as {"temp_c": 18.5}.'),
        ({}, "temp_c is missing or not a number."),
        ({"temp_c": True}, "temp_c is missing or not a number."),
        ({"temp_c": "18"}, "temp_c is missing or not a number."),
        ({"temp_c": 1e999}, 'The body is not JSON such as {"temp_c": 18.5}.'),
        ({"temp_c": 61}, "temp_c must be from -40 to 60 °C (you gave 61)."),
        ({"temp_c": 10**400}, "temp_c must be from -40 to 60 °C"),
        ({"temp_c": 20, "humidity_percent": -1e300}, "humidity_percent must be from 0 to 100 %."),
        ({"temp_c": 20, "humidity_percent": 100.1}, "humidity_percent must be from 0 to 100 % (you gave 100.1)."),
        ({"temp_c": 20, "humidity": 50}, '"humidity" is none of temp_c, humidity_percent, at.'),
        ({"temp_c": 20, "at": 1764073800000}, "at must be a moment with its zone"),
        ({"temp_c": 20, "at": "2026-11-25T12:00:00"}, "at must be a moment with its zone"),
        ({"temp_c": 20, "at": "0001-01-01T00:00:00+14:00"}, "at must"),
        ({"temp_c": 20, "at": "2026-11-25T12:02:00Z"}, "at must lie in the last seven days"),
        ({"temp_c": 20, "at": "2026-11-18T11:59:59Z"}, "at must lie in the last seven days"),
    ],
)
def test_what_is_no_reading_is_refused_in_words_and_changes_nothing(body, why):
    _, token = made()
    with after(0):
        answer = say(token, body)
    assert answer.status_code == 400
    assert answer.content.decode().startswith(why)
    assert answer.content.decode().endswith("Nothing was saved.")
    assert readings() == []
    assert Thermometer.objects.get().last == {}


def test_a_body_that_is_no_json_or_very_long_is_refused():
    _, token = made()
    with after(0):
        assert say(token, None, raw="temp_c=18").status_code == 400
    with after(1):
        assert say(token, None, raw=" " * 2001).status_code == 413


def test_more_than_one_a_second_is_asked_to_wait():
    _, token = made()
    with after(0):
        assert say(token, {"temp_c": 20}).status_code == 201
        answer = say(token, {"temp_c": 30})
    assert (answer.status_code, answer.headers["Retry-After"]) == (429, "1")
    assert answer.content.decode() == "One reading a second at the most. Nothing was saved."
    assert read_at(token, 1 / 60, temp_c=20) is False
    assert read_at(token, -600, temp_c=20), "a server clock that was put back keeps nobody out"


# --- the year ---


def test_what_faded_is_kept_in_the_log_and_neither_folded_nor_sent():
    keeper, _ = made()
    last = time.time_ns() // 1_000_000
    day = (last - 30 * DAY_MS) // DAY_MS * DAY_MS
    temps = (150, 90, 210, 160, 170)
    acts = [{**tap(temp_dc=temp), "at": day + nth} for nth, temp in enumerate(temps)]
    assert post(keeper, acts).status_code == 200
    assert len(readings()) == 5
    post(keeper, [tap(temp_dc=200)])
    assert [read[1] for read in readings()] == [90, 210, 200]
    assert Act.objects.filter(on="air").count() == 6
    sent = (
        Client().post("/sync", "{}", "application/json", headers={"Authorization": f"Bearer {token_of(keeper)}"}).json()
    )
    acts_sent = next(one["acts"] for one in sent["fragments"] if one["on"] == "air")
    assert sorted(act["temp_dc"] for act in acts_sent) == [90, 200, 210]
    folded = air.fold([act.body for act in Act.objects.filter(on="air")])
    assert ThingState.objects.get(on="air").state == json.loads(json.dumps(folded))
    again = post(keeper, acts)
    assert again.content.decode().count("already kept") == 5


# --- the documented command ---


def test_the_command_in_the_readme_is_what_is_taken():
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    command = re.search(r"^curl [^\n]*/readings.*?(?<!\\)$", readme, re.MULTILINE | re.DOTALL)[0].replace("\\\n", " ")
    _, token = made()
    words = shlex.split(command.replace("$TOKEN", token))
    headers = dict(word.split(": ", 1) for at, word in enumerate(words) if words[at - 1] == "-H")
    body = words[words.index("-d") + 1]
    assert words[1:3] == ["-H", f"Authorization: Bearer {token}"]
    answer = Client().post("/readings", body, headers.pop("Content-Type"), headers=headers)
    assert (answer.status_code, answer.json()["kept"]) == (201, True)


# --- whatever the order ---


def newest_first(token: str, hours: int) -> list[bool]:
    """A thermometer that was offline tells a reading of every five minutes, the newest first."""
    kept = []
    for nth in range(hours * 12):
        moment = (NOON - timedelta(minutes=5 * nth)).isoformat()
        with after(nth / 60):
            answer = say(token, {"temp_c": 20 + nth % 2 / 10, "at": moment})
        assert answer.status_code in (200, 201), answer.content
        kept.append(answer.json()["kept"])
    return kept


def test_a_thermometer_that_tells_the_newest_first_keeps_no_more_than_one_that_tells_the_oldest_first():
    _, token = made()
    kept = newest_first(token, 4)
    assert [nth for nth, one in enumerate(kept) if one] == [0, 6, 12, 18, 24, 30, 36, 42]


def test_a_reading_between_two_others_is_kept_where_neither_says_the_same():
    _, token = made()
    assert read_at(token, 0, temp_c=20)
    assert read_at(token, 40, temp_c=20)
    readings_in_turn = ((20, 25, True), (3, 25, False), (37, 25, False), (30, 20.1, False), (25, 22, True))
    for nth, (minutes, temp, keeps) in enumerate(readings_in_turn):
        assert read_at(token, 60 + nth, temp_c=temp, at=(NOON + timedelta(minutes=minutes)).isoformat()) == keeps
