"""A display of the shop's own: its token reads the floor and its alarms, and nothing else."""

import pytest
from django.test import Client

from shop.models import Display
from tests.shop.security.test_access import OWN, SECRET, post, tap
from tests.support.addresses import ADDRESSES, addresses
from tests.support.joins import begun, joined, walled

OPEN = ("floor-json", "alarms-ics")

pytestmark = pytest.mark.django_db


@pytest.fixture
def keeper() -> Client:
    client = begun()
    post(client, [tap("panel:01956000-0000-7000-8000-0000000000aa", "panel_added", name=SECRET, steps=[])])
    return client


def made(keeper: Client, name: str = "Hall") -> dict:
    answer = keeper.post("/displays/make", {"name": name}, headers=OWN)
    assert answer.status_code == 200, answer.content
    return answer.json()


def shows(token: str) -> Client:
    return Client(headers={"Authorization": f"Bearer {token}"}, raise_request_exception=False)


def test_a_display_reads_the_floor_of_its_shop(keeper):
    answer = shows(made(keeper)["token"]).get("/floor.json")
    assert answer.status_code == 200
    assert [card["name"] for card in answer.json()["cards"]] == [SECRET]
    again = shows(made(keeper)["token"]).get("/floor.json", headers={"If-None-Match": answer.headers["ETag"]})
    assert again.status_code == 304


@pytest.mark.parametrize(("name", "path"), [one for one in addresses() if one[0] not in OPEN])
def test_a_display_opens_nothing_else(keeper, name, path):
    display = shows(made(keeper)["token"])
    for method in ADDRESSES[name][0]:
        alone, nobody = (client.generic(method, path, "{}", "application/json") for client in (display, shows("none")))
        assert alone.status_code == nobody.status_code
        assert SECRET.encode() not in (b"" if alone.streaming else alone.content)


def test_an_ended_display_reads_nothing_and_its_token_stands_nowhere(keeper):
    one = made(keeper)
    assert one["token"] not in str(Display.objects.values())
    assert "token" not in keeper.get("/displays").json()
    left = keeper.post("/displays/end", {"id": one["id"]}, headers=OWN).json()
    assert left["displays"] == []
    assert shows(one["token"]).get("/floor.json").status_code == 401


def test_only_a_keeper_makes_and_ends_displays_and_only_of_the_own_shop(keeper):
    one = made(keeper)
    for client in (joined(keeper), walled(keeper)):
        for path, said in (("make", {"name": "Mine"}), ("end", {"id": one["id"]})):
            answer = client.post(f"/displays/{path}", said, headers=OWN)
            words = "Only a keeper's phone makes and ends displays. Nothing was saved."
            assert (answer.status_code, answer.content.decode()) == (403, words)
    assert begun().post("/displays/end", {"id": one["id"]}, headers=OWN).status_code == 400
    assert begun().get("/displays").json()["displays"] == []
    assert shows(one["token"]).get("/floor.json").status_code == 200


def test_a_thermometers_token_shows_no_floor_and_a_display_says_no_reading(keeper):
    meter = keeper.post("/thermometers/make", {"name": "Booth"}, headers=OWN).json()
    assert shows(meter["token"]).get("/floor.json").status_code == 401
    said = shows(made(keeper)["token"]).post("/readings", {"temp_c": 18}, content_type="application/json")
    assert said.status_code == 401


@pytest.mark.parametrize("name", ["", " ", "x" * 61])
def test_a_display_needs_a_name(keeper, name):
    assert keeper.post("/displays/make", {"name": name}, headers=OWN).status_code == 400
    assert not Display.objects.exists()


def test_a_shop_has_at_most_twenty_displays(keeper):
    for n in range(20):
        made(keeper, f"Screen {n}")
    answer = keeper.post("/displays/make", {"name": "One more"}, headers=OWN)
    assert answer.content.decode() == "A shop has at most 20 displays. End one first. Nothing was saved."
