"""Who makes and ends a thermometer, and that its token opens nothing but readings."""

import pytest
from django.test import Client

from shop.models import Phone, Thermometer
from shop.security import access
from tests.shop.security.test_access import ELSEWHERE, HTMX, OWN, addresses, begun, post, tap, token_of
from tests.timers.log.test_readings import after, made, read_at, readings, say

pytestmark = pytest.mark.django_db


# --- what else it may: nothing ---


@pytest.mark.parametrize(("name", "path"), list(addresses()))
def test_its_token_opens_nothing_but_readings(name, path):
    keeper, token = made()
    post(keeper, [tap(temp_dc=123)])
    thermometer = Client()
    thermometer.cookies[access.COOKIE] = token
    for method in ("get", "post"):
        for headers in ({**HTMX, **OWN}, {**OWN, "Authorization": f"Bearer {token}"}):
            answer = getattr(thermometer, method)(path, headers=headers)
            open_to_all = name in ("worker", "manifest", "floor", "clock", "openapi", "begin", "healthz", "readyz")
            assert open_to_all or answer.status_code in (400, 401, 405, 429), (method, answer.status_code)
            told = b"" if answer.streaming else answer.content
            assert b"123" not in told or name != "sync"
    assert [read[1] for read in readings()] == [123]


def test_a_phones_token_says_no_readings():
    keeper = begun()
    assert say(token_of(keeper), {"temp_c": 20}).status_code == 401
    assert keeper.post("/readings", '{"temp_c": 20}', "application/json", headers=OWN).status_code == 401


# --- who makes and ends it ---


def test_only_a_keeper_makes_and_ends_one():
    keeper, token = made()
    meter = Thermometer.objects.get()
    for role in (Phone.Role.PAINTER, Phone.Role.WALL):
        Phone.objects.update(role=role)
        for path, said in (("make", {"name": "Mine"}), ("end", {"id": meter.pk})):
            answer = keeper.post(f"/thermometers/{path}", said, headers=OWN)
            assert (answer.status_code, answer.content.decode()[:24]) == (403, "Only a keeper's phone ma")
    assert keeper.get("/thermometers").json()["thermometers"][0]["name"] == "By the door"
    assert read_at(token, 0, temp_c=20)


def test_one_that_was_ended_is_told_so_and_what_it_said_stays():
    keeper, token = made()
    assert read_at(token, 0, temp_c=20)
    answer = keeper.post("/thermometers/end", {"id": Thermometer.objects.get().pk}, headers=OWN)
    assert answer.json()["thermometers"] == []
    with after(40):
        answer = say(token, {"temp_c": 25})
    assert answer.status_code == 401
    assert answer.content.decode() == "This thermometer belongs to no shop here. Nothing was saved."
    assert len(readings()) == 1


@pytest.mark.parametrize("meter_id", ["", "none", "00000000-0000-4000-8000-000000000000", "theirs"])
def test_one_of_another_shop_cannot_be_ended(meter_id):
    made()
    theirs = Thermometer.objects.get()
    answer = begun().post("/thermometers/end", {"id": theirs.pk if meter_id == "theirs" else meter_id}, headers=OWN)
    assert answer.status_code == 400
    theirs.refresh_from_db()
    assert theirs.ended_ms is None


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "\x00"])
def test_it_needs_a_name_and_its_token_is_kept_only_as_a_digest(name):
    keeper, token = made()
    assert keeper.post("/thermometers/make", {"name": name}, headers=OWN).status_code == 400
    meter = Thermometer.objects.get()
    assert len(token) >= 43
    assert token not in (meter.token_digest, str(meter.last))
    for _ in range(19):
        assert keeper.post("/thermometers/make", {"name": "More"}, headers=OWN).status_code == 200
    assert "at most 20" in keeper.post("/thermometers/make", {"name": "More"}, headers=OWN).content.decode()


@pytest.mark.parametrize("where", ELSEWHERE)
@pytest.mark.parametrize("deed", ["make", "end"])
def test_another_site_makes_and_ends_none(where, deed):
    keeper, _ = made()
    said = {"name": "Theirs", "id": Thermometer.objects.get().pk}
    answer = keeper.post(f"/thermometers/{deed}", said, headers={**HTMX, **ELSEWHERE[where]})
    assert (answer.status_code, Thermometer.objects.filter(ended_ms=None).count()) == (403, 1)
    assert keeper.post(f"/thermometers/{deed}", said).status_code == 403
