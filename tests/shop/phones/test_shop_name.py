"""What a shop is called: a keeper names it, every phone is told, who is about to join sees it."""

import json
import os

import pytest
from django.test import Client

from shop.models import Shop
from shop.phones import joining
from shop.security import access
from tests.timers.log.test_log import NOW_MS
from timers.core.acts.envelope import new_id
from timers.core.acts.signature import mark
from timers.log import reader, writer
from timers.log.epoch import Heard

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop() -> Shop:
    return access.new_shop("My shop", "UTC", NOW_MS)


@pytest.fixture
def keeper(shop):
    return access.new_phone(shop, "keeper", NOW_MS)[0]


@pytest.fixture
def painter(shop):
    return access.new_phone(shop, "painter", NOW_MS)[0]


def act(kind: str = "shop_named", at_ms: int = NOW_MS, **fields) -> dict:
    return {"id": new_id(at_ms, os.urandom(10)), "at": at_ms, "on": "shop", "kind": kind, **fields}


def posted(phone, *acts) -> list[str]:
    return [one.get("why") or one["verdict"] for one in writer.append(phone.shop_id, phone, list(acts), NOW_MS)]


def called(shop) -> str:
    return Shop.objects.get(pk=shop.pk).name


def test_a_keeper_names_the_shop_and_the_server_calls_it_so(shop, keeper):
    assert posted(keeper, act(name="Corner garage")) == ["kept"]
    assert called(shop) == "Corner garage"
    (fragment,) = reader.changed(shop, Heard(), NOW_MS)["fragments"]
    assert (fragment["on"], fragment["state"]["name"]) == ("shop", "Corner garage")


def test_who_is_about_to_join_sees_the_new_name_and_so_does_every_answer(shop, keeper):
    posted(keeper, act(name="Corner garage"))
    later_ms = NOW_MS + 10**12  # good for long: the view goes by the true clock
    _, typed, _ = joining.create_invite(shop, "painter", later_ms)
    newcomer = Client(headers={"X-Sandtime": "1"})
    assert newcomer.post("/join/look", {"typed": typed}).json()["name"] == "Corner garage"
    joined = newcomer.post("/join", {"typed": typed, "name": "Bench", "asker": "7"}).json()
    assert joined["name"] == "Corner garage"
    body = json.dumps({"acts": [], "cursor": 0})
    assert newcomer.post("/sync", body, content_type="application/json").json()["shop"]["name"] == "Corner garage"


def test_of_two_names_the_later_stands_whichever_was_heard_first(shop, keeper):
    posted(keeper, act(name="Back yard"), act(at_ms=NOW_MS - 1, name="Corner garage"))
    assert called(shop) == "Back yard"


def test_a_name_taken_back_gives_the_one_before_and_at_last_the_one_it_began_with(shop, keeper):
    first, second = act(at_ms=NOW_MS - 1, name="Corner garage"), act(name="Back yard")
    posted(keeper, first, second)
    posted(keeper, act("undone", act=second["id"]))
    assert called(shop) == "Corner garage"
    posted(keeper, act("undone", act=first["id"]))
    assert called(shop) == "My shop"
    posted(keeper, act("restored", at_ms=NOW_MS + 1, act=second["id"]))
    assert called(shop) == "Back yard"


def test_other_words_on_the_shop_leave_its_name(shop, painter):
    assert posted(painter, act("units_chosen", units={"temp": "f"})) == ["kept"]
    assert called(shop) == "My shop"


def test_a_painters_phone_neither_names_the_shop_nor_takes_its_name_back(shop, keeper, painter):
    named = act(name="Corner garage")
    posted(keeper, named)
    words = "Only a keeper's phone names the shop. A keeper's phone can make this one a keeper's too."
    assert posted(painter, act(name="Mine", who=str(painter.pk)), act(name="Mine")) == [words, words]
    assert posted(painter, act("undone", act=named["id"], who=str(painter.pk))) == [words]
    assert called(shop) == "Corner garage"


def test_a_name_that_a_keeper_handed_on_by_codes_is_kept_whoever_tells_it(shop, keeper, painter):
    named = act(name="Corner garage", who=str(keeper.pk))
    marked = {named["id"]: mark(access.mark_key(keeper), named)}
    assert writer.keep(shop.pk, painter, [named], NOW_MS, marked).verdicts[0]["verdict"] == "kept"
    assert posted(keeper, named) == ["already kept"]
    assert called(shop) == "Corner garage"


def test_a_keeper_of_another_shop_names_nothing_here(shop, painter):
    other = access.new_phone(access.new_shop("Theirs", "UTC", NOW_MS), "keeper", NOW_MS)[0]
    assert posted(painter, act(name="Theirs too", who=str(other.pk))) != ["kept"]
    assert called(shop) == "My shop"
