"""The one shop of an open host: who comes in without a code, and that the demo is open to nobody's real shop."""

import os

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from shop.models import Phone, Shop
from shop.server import serving
from shop.shell import collect
from tests.support.joins import asked, begun, coded, joined
from timers.shops.demo import demo_shop

pytestmark = pytest.mark.django_db
CLOSED = "The door of this shop is closed. Ask a keeper's phone for a code."


def comes() -> tuple[int, str]:
    answer = Client().post("/begin", headers={"X-Sandtime": "1"})
    return answer.status_code, answer.content.decode()


@pytest.fixture
def open_host(settings):
    settings.OPEN_SHOP = True


def ended(keeper: Client) -> dict:
    """What a keeper is told who ends the painter's phone."""
    return asked(keeper, "phones/end", phone=Phone.objects.get(role="painter").pk).json()


def test_a_phone_that_was_ended_does_not_come_back_by_dropping_its_cookie(open_host):
    keeper, _ = begun(), begun()
    assert keeper.get("/phones").json()["door"] == {"open": True}
    assert ended(keeper)["door"] == {"open": False}
    assert comes() == (403, CLOSED)
    assert Phone.objects.count() == 2
    assert Shop.objects.count() == 1


def test_while_the_door_is_closed_a_phone_comes_in_by_a_code(open_host):
    keeper, _ = begun(), begun()
    ended(keeper)
    joined(keeper, name="Bench")
    assert Phone.objects.filter(name="Bench", ended_ms=None).exists()


def test_a_keeper_opens_and_closes_the_door_and_a_painter_does_not(open_host):
    keeper, painter = begun(), begun()
    assert asked(painter, "phones/door", open="0").status_code == 403
    assert comes()[0] == 200
    assert asked(keeper, "phones/door", open="0").json()["door"] == {"open": False}
    assert comes() == (403, CLOSED)
    assert asked(keeper, "phones/door", open="1").json()["door"] == {"open": True}
    assert comes()[0] == 200


def test_the_demo_stays_open_when_a_phone_of_it_is_ended(open_host):
    demo_shop("UTC", 1_700_000_000_000)
    keeper, _ = begun(), begun()
    ended(keeper)
    assert comes()[0] == 200


def test_a_shop_that_is_not_the_one_of_an_open_host_has_no_such_door(settings):
    keeper = begun()
    assert keeper.get("/phones").json()["door"] is None
    assert coded(keeper)["code"]


@pytest.fixture
def serves(settings, monkeypatch, tmp_path):
    """`serve` up to the moment when it would listen."""
    settings.OPEN_SHOP, settings.DATA_DIR = False, tmp_path
    monkeypatch.setattr(serving.Server, "run", lambda self: None)
    monkeypatch.setattr(collect, "collect", lambda: False)
    monkeypatch.setattr("timers.alarm.ringer.Ringer.run", lambda self, stopped: None)
    mask = os.umask(0o022)
    yield lambda *options: call_command("serve", *options, no_browser=True)
    os.umask(mask)


def test_the_demo_is_not_served_over_a_real_shop(serves):
    begun()
    with pytest.raises(CommandError, match=r"^--demo lets everybody in, and this folder holds a real shop"):
        serves("--demo")
    assert Shop.objects.count() == 1


def test_the_demo_is_served_again_over_its_own_shop(serves):
    serves("--demo")
    serves("--demo")
    assert [shop.demo for shop in Shop.objects.all()] == [True]
