"""How a phone asks to be told by push: what is kept, what is refused, whose it is."""

import pytest
from django.test import Client

from shop.models import Subscription
from shop.push import webpush_crypto
from tests.shop.security.test_access import HTMX, OWN, begun

pytestmark = pytest.mark.django_db


def asked(client: Client, what: str, fields: dict | None = None):
    return client.post(f"/push/{what}", fields or {}, headers=OWN)


def test_a_phone_learns_the_key_and_what_is_held_for_it(push_service):
    client = begun()
    nothing = {"endpoint": "", "last_ok_ms": None, "fails": 0, "wants": {}}
    assert client.get("/push/key").json() == {"key": webpush_crypto.public_key(), **nothing}
    here = push_service.keys()["endpoint"]
    assert asked(client, "subscribe", push_service.keys()).json() == {**nothing, "endpoint": here}
    assert client.get("/push/key").json()["endpoint"] == here
    assert asked(client, "unsubscribe").json() == nothing
    assert not Subscription.objects.exists()


def test_a_phone_has_one_subscription_the_last(push_service):
    client = begun()
    for path in ("/one", "/two", "/two"):
        assert asked(client, "subscribe", push_service.keys(path)).status_code == 200
    assert Subscription.objects.get().endpoint.endswith("/two")
    assert Subscription.objects.get().home == "http://testserver/"


def test_a_browser_that_joined_another_shop_is_told_by_that_one_and_no_one_else_can_take_its_address(push_service):
    one, two = begun(), begun()
    asked(one, "subscribe", push_service.keys())
    first = Subscription.objects.get().phone
    stolen = {**push_service.keys(), "auth": webpush_crypto._b64url(b"x" * 16)}
    assert asked(two, "subscribe", stolen).status_code == 400
    assert Subscription.objects.get().phone == first
    assert asked(two, "subscribe", push_service.keys()).status_code == 200
    assert Subscription.objects.get().phone != first


@pytest.mark.parametrize(
    "fields",
    [
        {"endpoint": "https://other.example/one"},
        {"endpoint": ""},
        {"p256dh": "BP4z"},
        {"p256dh": "é"},
        {"p256dh": webpush_crypto._b64url(b"\x04" + b"\x01" * 64)},
        {"auth": "AAAA"},
        {"auth": ""},
        {"kinds": "opens,other"},
        {"quiet": "22:00-06:00"},
        {"quiet": "1320-1440"},
    ],
)
def test_what_cannot_be_used_is_refused_in_words_and_nothing_is_saved(push_service, fields):
    answer = asked(begun(), "subscribe", {**push_service.keys(), **fields})
    assert answer.status_code == 400
    assert answer.content.decode().endswith("Nothing was saved.")
    assert not Subscription.objects.exists()


def test_what_a_phone_wants_is_kept(push_service):
    wanted = {"kinds": "opens,closing", "quiet": "1320-360"}
    answer = asked(begun(), "subscribe", {**push_service.keys(), **wanted}).json()
    assert answer["wants"] == {"kinds": ["opens", "closing"], "quiet": [1320, 360]}
    assert asked(begun(), "subscribe", {**push_service.keys("/two"), "kinds": ""}).json()["wants"] == {"kinds": []}
    assert asked(begun(), "subscribe", {**push_service.keys("/six"), "mine": "yes"}).json()["wants"] == {"mine": True}
    assert asked(begun(), "subscribe", {**push_service.keys("/ten"), "mine": ""}).json()["wants"] == {}


def here(client: Client, **fields) -> str:
    answer = client.post("/push/here", fields, headers=HTMX)
    assert answer.status_code == 200
    return answer.content.decode()


def test_our_page_is_told_in_words_how_it_stands_by_what_its_browser_holds(push_service):
    client = begun()
    keys = push_service.keys()
    assert "Off. With signal" in here(client)
    assert "It has ended, or never quite begun" in here(client, endpoint=keys["endpoint"])
    asked(client, "subscribe", keys)
    assert "On. It rings where there is signal, also with Sandtime closed." in here(client, endpoint=keys["endpoint"])
    assert "It has ended, or never quite begun" in here(client)
    Subscription.objects.update(last_ok_ms=1_795_614_000_000, fails=2)
    told = here(client, endpoint=keys["endpoint"])
    assert "last took a message for it at 25 Nov 13:40. The last 2 messages did not get through." in told


def test_what_rings_on_a_phone_changes_only_where_its_browser_holds_what_the_server_does(push_service):
    client, other = begun(), begun()
    keys = push_service.keys()
    asked(client, "subscribe", {**keys, "kinds": "opens"})
    for asking, endpoint in ((client, "https://other.example/"), (other, keys["endpoint"]), (client, "")):
        here(asking, endpoint=endpoint, kinds="shut")
        assert Subscription.objects.get().wants == {"kinds": ["opens"]}
    here(client, endpoint=keys["endpoint"], kinds="shut", quiet="1320-360", mine="yes")
    assert Subscription.objects.get().wants == {"kinds": ["shut"], "quiet": [1320, 360], "mine": True}
    here(client, endpoint=keys["endpoint"])  # says nothing of it
    assert Subscription.objects.get().wants == {"kinds": ["shut"], "quiet": [1320, 360], "mine": True}
    assert client.post("/push/here", {"kinds": "none"}, headers=HTMX).status_code == 400


def test_a_phone_whose_address_moves_still_wants_what_it_wanted(push_service):
    client = begun()
    asked(client, "subscribe", {**push_service.keys("/one"), "kinds": "opens", "quiet": "1320-360", "mine": "yes"})
    moved = asked(client, "subscribe", push_service.keys("/two")).json()
    assert moved["endpoint"].endswith("/two")
    assert moved["wants"] == {"kinds": ["opens"], "quiet": [1320, 360], "mine": True}


def test_a_stranger_learns_nothing_and_changes_nothing(push_service):
    assert Client().get("/push/key").status_code == 401
    for what in ("subscribe", "unsubscribe", "trial"):
        assert asked(Client(), what, push_service.keys()).status_code == 401
    assert not Subscription.objects.exists()


def test_a_trial_needs_a_subscription(push_service):
    answer = asked(begun(), "trial")
    assert answer.status_code == 400
    assert answer.content.decode() == "The server has no leave to ring this phone. Turn push on first."
