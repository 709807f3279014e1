"""Whose phone is this: tokens, other shops, other sites, and what every answer carries."""

import hashlib
import json
import os
import time
from datetime import timedelta

import pytest
from django.test import Client

from shop.models import Phone, Shop
from shop.security import access
from tests.support.addresses import ADDRESSES, addresses
from timers.core.acts.envelope import new_id
from timers.log import reader
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db
HTMX = {"HX-Request": "true"}
FORM = "application/x-www-form-urlencoded"
OWN = {"X-Sandtime": "1"}
BY_TOKEN = ("readings",)  # no cookie opens it, so no page of another site can use one
POSTS = [path for name, path in addresses() if "POST" in ADDRESSES[name][0] and name not in BY_TOKEN]
SECRET = "Our own customer"

ELSEWHERE = {
    "another site": {"Origin": "https://other.example"},
    "another port": {"Origin": "http://testserver:8001"},
    "a site that hides its name": {"Origin": "null"},
    "an address that is none": {"Origin": "http://["},
    "a page of another site, as the browser says": {"Sec-Fetch-Site": "cross-site"},
    "a neighbour of our address": {"Sec-Fetch-Site": "same-site"},
    "another site, through a page that asks for a password": {
        "Origin": "https://other.example",
        "Authorization": "Basic cGFpbnRlcjpzYW5k",
    },
}


def tap(on: str = "air", kind: str = "air_read", **fields) -> dict:
    at = time.time_ns() // 1_000_000
    return {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **(fields or {"temp_dc": 200})}


def begun(**headers) -> Client:
    """A phone of a shop of its own, known by its cookie."""
    client = Client(raise_request_exception=False)
    assert client.post("/begin", headers={**OWN, **headers}).status_code == 200
    return client


def post(client: Client, acts: list | None = None, headers: dict | None = None, cursor: int = 0, **more):
    said = {"acts": json.dumps(acts or []), "cursor": cursor}
    return client.post("/sync", said, headers=HTMX if headers is None else headers, **more)


def token_of(client: Client) -> str:
    return client.cookies[access.COOKIE].value


@pytest.fixture
def ours() -> Shop:
    """A shop with a secret on a panel."""
    client = begun()
    on = f"panel:{new_id(time.time_ns() // 1_000_000, os.urandom(10))}"
    assert post(client, [tap(on, "panel_added", name=SECRET, steps=[])]).status_code == 200
    return Shop.objects.get()


# --- who ---


def test_a_phone_that_was_never_here_gets_401_and_a_word_on_what_it_holds():
    answer = post(Client(), [tap()])
    assert answer.status_code == 401
    assert answer.content.decode() == "This phone belongs to no shop here. What it holds stays on it."
    assert not Act.objects.exists()


def test_a_phone_that_was_ended_gets_401_by_cookie_and_by_token():
    client = begun()
    Phone.objects.update(ended_ms=1)
    for headers in (HTMX, {"Authorization": f"Bearer {token_of(client)}"}):
        assert post(client, [tap()], headers).status_code == 401


@pytest.mark.parametrize("alter", [str.swapcase, lambda token: token[:-1], lambda token: token + "=", lambda token: ""])
def test_an_altered_token_gets_401(alter):
    client = begun()
    client.cookies[access.COOKIE] = alter(token_of(client))
    assert post(client).status_code == 401


@pytest.mark.parametrize("token", ["\u00e9", "x" * 10_000, "../..", "' or 1=1 --"])
def test_an_odd_bearer_token_gets_401_and_is_not_helped_by_the_cookie(token):
    assert post(begun(), headers={"Authorization": f"Bearer {token}"}).status_code == 401


def test_a_bearer_token_alone_opens_the_shop_of_its_phone():
    token = token_of(begun())
    answer = post(Client(), [tap()], {"Authorization": f"bearer {token}"})
    assert answer.status_code == 200
    assert access.COOKIE not in answer.cookies
    assert Act.objects.filter(kind="air_read").get().phone == Phone.objects.get()


def test_the_token_is_kept_only_as_its_digest():
    token = token_of(begun())
    assert Phone.objects.get().token_digest == hashlib.sha256(token.encode()).hexdigest()
    assert len(token) >= 43


def test_a_phone_is_seen_when_it_asks_and_at_most_once_a_minute():
    client = begun()
    for seen_ms, moves in ((0, True), (time.time_ns() // 1_000_000 - 30_000, False)):
        Phone.objects.update(seen_ms=seen_ms)
        post(client)
        assert (Phone.objects.get().seen_ms != seen_ms) == moves


# --- other shops ---


def test_another_shop_may_hold_a_panel_under_our_number_and_neither_sees_the_others(ours):
    known = Act.objects.get(shop=ours, kind="panel_added").body
    assert post(begun(), [{**known, "name": "Theirs"}]).status_code == 200
    names = {row.shop_id == ours.pk: row.state["name"] for row in ThingState.objects.filter(on=known["on"])}
    assert names == {True: SECRET, False: "Theirs"}
    assert [card["face"]["name"] for card in reader.floor(ours, known["at"])["cards"]] == [SECRET]


# --- other sites ---


@pytest.mark.parametrize("where", ELSEWHERE)
@pytest.mark.parametrize("path", POSTS)
def test_a_post_from_elsewhere_is_refused(where, path):
    client = begun()
    answer = client.post(path, {"acts": json.dumps([tap()])}, headers={**HTMX, **ELSEWHERE[where]})
    assert (answer.status_code, answer.content.decode()) == (403, "This did not come from Sandtime's own page.")
    assert not Act.objects.filter(kind="air_read").exists()
    assert Phone.objects.count() == 1


@pytest.mark.parametrize("path", POSTS)
def test_a_post_as_any_form_can_make_it_is_refused(path):
    assert begun().post(path, {"acts": "[]"}).status_code == 403


@pytest.mark.parametrize("headers", [{"Sec-Fetch-Site": "same-origin"}, {"Origin": "http://testserver"}, OWN])
def test_a_post_of_our_own_page_is_taken(headers):
    assert post(begun(), headers={**HTMX, **headers}).status_code == 200


def test_a_post_under_a_token_needs_no_page_of_ours():
    headers = {"Authorization": f"Bearer {token_of(begun())}", "Origin": "https://other.example"}
    assert post(Client(), headers=headers).status_code == 200


# --- what every answer carries ---


@pytest.mark.parametrize("secure", [False, True])
def test_the_cookie_is_out_of_reach_of_scripts_and_other_sites_and_is_renewed(secure):
    client = Client()
    for path, headers in (("/begin", OWN), ("/sync", HTMX)):
        cookie = client.post(path, headers=headers, secure=secure).cookies[access.COOKIE]
        flags = (cookie["httponly"], cookie["samesite"], bool(cookie["secure"]), cookie["path"], cookie["domain"])
        assert flags == (True, "Lax", secure, "/", "")
        assert cookie["max-age"] == timedelta(days=400).total_seconds()


# --- the open shop ---


def test_the_first_phone_of_an_address_keeps_a_shop_of_its_own_and_so_does_the_next():
    for _ in range(2):
        begun()
    assert Shop.objects.count() == 2
    assert {phone.role for phone in Phone.objects.all()} == {Phone.Role.KEEPER}


def test_where_the_shop_is_open_every_phone_joins_it_and_the_first_keeps_it(settings):
    settings.OPEN_SHOP = True
    one, two = begun(), begun()
    assert [phone.role for phone in Phone.objects.order_by("made_ms")] == ["keeper", "painter"]
    post(one, [tap(temp_dc=123)])
    assert '"temp_dc": 123' in post(two).content.decode()
