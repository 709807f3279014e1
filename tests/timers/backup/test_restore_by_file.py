"""A database put back by a road that tells Sandtime nothing (a file, a snapshot, a replica): no tap is lost."""

import json

import pytest
from django.test import Client

from shop.models import Phone, Shop
from shop.security import access
from tests.browser.conftest import Server
from tests.support.by_file import Wired, copied, put_back
from tests.timers.log.test_sync import now_ms, tap
from timers.log import epoch
from timers.models import Act


@pytest.fixture(scope="module")
def snapshots(tmp_path_factory):
    """A server and a snapshot of it, taken when two phones had heard the same."""
    folder = tmp_path_factory.mktemp("snapshot")
    server = Server(folder / "data", "--one-shop").start()
    one, two = Wired(server.address), Wired(server.address)
    one.taps(3)
    two.asks()
    copied(server, folder / "kept")
    yield server, one, two, folder / "kept"
    server.stop()


def test_a_panel_that_was_acknowledged_after_the_snapshot_comes_back_from_its_phone(snapshots):
    """As it was found: the other phone taps on past the old cursor before the first one comes back."""
    server, one, two, kept = snapshots
    (lost,) = one.taps()
    put_back(server, kept)
    later = two.taps(2)
    assert two.cursor > one.cursor
    for phone in (one, two):
        phone.asks()
    fresh = Wired(server.address)
    for phone in (one, two, fresh):
        phone.asks()
        assert {lost, *later} <= phone.knows()
        assert phone.knows() >= one.acknowledged | two.acknowledged
        assert (phone.unsent(), phone.refused()) == ([], [])


def test_a_phone_with_a_higher_cursor_than_the_server_tells_again_what_was_lost(snapshots):
    server, one, two, kept = snapshots
    lost = one.taps(2)
    two.asks()
    more = two.taps()
    put_back(server, kept)
    for phone in (one, two, one):
        phone.asks()
    fresh = Wired(server.address)
    fresh.asks()
    assert {*lost, *more} <= fresh.knows() == one.knows() == two.knows()


# --- who may cause it, and how often ---


class ShopClient:
    """Phones of one shop, in this process."""

    def __init__(self):
        self.shop = access.new_shop("Any garage", "UTC", now_ms())
        self.say([tap() for _ in range(3)])

    def client(self) -> Client:
        _, token = access.new_phone(self.shop, Phone.Role.PAINTER, now_ms())
        return Client(headers={"Authorization": f"Bearer {token}"})

    def say(self, acts=(), **fields) -> dict:
        body = json.dumps({"acts": list(acts), "cursor": 0, **fields})
        return self.client().post("/sync", body, content_type="application/json").json()

    @property
    def memory(self) -> str:
        return str(Shop.objects.get().epoch)


@pytest.fixture
def phone_api(db) -> ShopClient:
    return ShopClient()


def wrong_id() -> str:
    return tap()["id"]


def test_the_answer_names_the_act_at_its_cursor(phone_api):
    answer = phone_api.say()
    assert answer["cursor"] == 3
    assert answer["cursor_act"] == str(Act.objects.get(seq=3).act_id)
    act = tap()
    assert phone_api.say([act], cursor=3)["cursor_act"] == act["id"]


def test_a_phone_whose_act_stands_at_its_cursor_is_told_only_what_is_new(phone_api):
    before = phone_api.memory
    answer = phone_api.say(cursor=3, memory=before, cursor_act=phone_api.say()["cursor_act"])
    assert (answer["fragments"], answer["memory"]) == ([], before)


def test_one_phone_with_another_act_at_its_cursor_gives_the_shop_a_new_memory_for_all(phone_api):
    before = phone_api.memory
    answer = phone_api.say(cursor=2, memory=before, cursor_act=wrong_id())
    assert answer["fragments"]
    assert before != answer["memory"] == phone_api.memory
    other = phone_api.say(cursor=3, memory=before, cursor_act=str(Act.objects.get(seq=3).act_id))
    assert other["fragments"], "another phone is told all too, so that it can say what is missing"


def test_a_phone_that_says_wrong_ids_again_and_again_moves_the_others_no_more(phone_api, monkeypatch):
    liar = phone_api.client()
    monkeypatch.setattr(phone_api, "client", lambda: liar)
    for _ in range(epoch.MOST):
        first = phone_api.say(cursor=2, memory=phone_api.memory, cursor_act=wrong_id())["memory"]
        assert phone_api.memory == first
    for _ in range(3):
        answer = phone_api.say(cursor=2, memory=first, cursor_act=wrong_id())
        assert answer["memory"] not in ("", first)  # it alone counts again
        assert answer["fragments"]
    assert phone_api.memory == first


@pytest.mark.parametrize("taps", [1, 2, 5], ids=["short of", "at", "past"])
def test_taps_that_come_with_the_question_prove_nothing_of_what_was_heard(phone_api, taps):
    """The server was put back to 3 acts; the phone had heard 5, and brings taps that fill the gap in the same post."""
    before = phone_api.memory
    answer = phone_api.say([tap() for _ in range(taps)], cursor=5, memory=before, cursor_act=wrong_id())
    assert before != answer["memory"] == phone_api.memory
    assert len(answer["fragments"]) == len({act.on for act in Act.objects.all()})


@pytest.mark.parametrize("odd", ["", "x", "d5b4a1a0-3c1e-4c53-8f0e-2a6f5d1c7b90", "0" * 36, None, [1]])
@pytest.mark.parametrize("cursor", [2, 99])
def test_what_is_no_id_of_an_act_proves_nothing(phone_api, odd, cursor):
    before = phone_api.memory
    answer = phone_api.say(cursor=cursor, memory=before, cursor_act=odd)
    assert before == answer["memory"] == phone_api.memory


def test_a_client_that_names_no_act_is_believed_as_before(phone_api):
    before = phone_api.memory
    assert phone_api.say(cursor=2, memory=before)["cursor"] == 3
    assert phone_api.memory == before


def test_an_act_that_is_no_longer_in_the_log_proves_nothing(phone_api):
    act_id = str(Act.objects.get(seq=2).act_id)
    Act.objects.filter(seq=2).delete()
    before = phone_api.memory
    assert phone_api.say(cursor=2, memory=before, cursor_act=act_id)["memory"] == before
