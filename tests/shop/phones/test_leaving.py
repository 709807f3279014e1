"""A phone that belongs to a shop joins another: asked first, and nothing is lost."""

import pytest
from django.test import Client

from shop.models import Shop, Subscription
from tests.shop.security.test_access import OWN, post, tap
from tests.support.joins import asked, begun, coded, joined, phone_of, shop_of, walled, words
from timers.models import Act

pytestmark = pytest.mark.django_db


def test_a_shop_in_which_nothing_was_done_is_left_without_a_question_and_goes():
    keeper, fresh = begun(), begun()
    old = shop_of(fresh)
    made = coded(keeper)
    assert asked(fresh, "join/look", secret=made["secret"]).json()["asks"] == ""
    assert asked(fresh, "join", secret=made["secret"], name="Bench").status_code == 200
    assert not Shop.objects.filter(pk=old.pk).exists()
    assert shop_of(fresh) == shop_of(keeper)


def test_the_one_shop_of_an_open_host_never_goes(settings):
    settings.OPEN_SHOP = True
    keeper = begun()
    settings.OPEN_SHOP = False
    elsewhere = coded(begun())
    settings.OPEN_SHOP = True
    assert asked(keeper, "join", secret=elsewhere["secret"], name="Bench").status_code == 400
    assert Shop.objects.count() == 2


def test_a_phone_of_another_shop_is_asked_first_and_loses_nothing():
    keeper, first = begun(), begun()
    mover = joined(first, name="Mover")
    post(mover, [tap(temp_dc=123)])
    old = shop_of(mover)
    secret = coded(keeper)["secret"]
    asks = (
        "This phone belongs to “My shop”. It will show “My shop” instead. What was done stays in “My shop”. "
        "A new code from there brings this phone back."
    )
    looked = asked(mover, "join/look", secret=secret).json()
    assert (looked["asks"], looked["why"], looked["leaves"]) == (asks, "", str(old.pk))
    assert words(asked(mover, "join", secret=secret, name="Mover")) == (400, asks)
    assert shop_of(mover) == old
    assert asked(mover, "join", secret=secret, name="Mover", leaves=looked["leaves"]).status_code == 200
    assert shop_of(mover) == shop_of(keeper)
    assert old.phones.get(name="Mover").ended_ms is not None
    assert Act.objects.filter(shop=old, kind="air_read").exists()
    assert (
        asked(mover, "join", secret=coded(first)["secret"], name="Mover", leaves=str(shop_of(mover).pk)).status_code
        == 200
    )
    assert shop_of(mover) == old


def test_the_last_keeper_of_a_shop_without_a_phrase_cannot_leave_it():
    keeper, last = begun(), begun()
    post(last, [tap()])
    made, old = coded(keeper), shop_of(last)
    looked = asked(last, "join/look", secret=made["secret"]).json()
    assert looked["why"].startswith("This phone is the last keeper of “My shop”.")
    answer = asked(last, "join", secret=made["secret"], name="Bench", leaves=str(old.pk))
    assert words(answer) == (400, looked["why"])
    assert shop_of(last) == old
    phrase = asked(last, "phones/phrase").json()["phrase"]
    looked = asked(last, "join/look", secret=made["secret"]).json()
    assert looked["asks"].endswith("Only its recovery phrase can open it again.")
    assert asked(last, "join", secret=made["secret"], name="Bench", leaves=str(old.pk)).status_code == 200
    assert asked(last, "join", typed=phrase, name="Bench", leaves=str(shop_of(last).pk)).status_code == 200
    assert (shop_of(last), phone_of(last).role) == (old, "keeper")


def test_a_phone_that_moves_is_rung_by_the_shop_it_moved_to():
    keeper, first = begun(), begun()
    mover = joined(first)
    Subscription.objects.create(phone=phone_of(mover), endpoint="https://e", p256dh="p", auth="a", home="/", made_ms=1)
    asked(mover, "join", secret=coded(keeper)["secret"], name="Bench", leaves=str(shop_of(mover).pk))
    assert Subscription.objects.get().phone == phone_of(mover)


def test_a_sync_that_speaks_for_the_shop_that_was_left_is_stopped():
    keeper, fresh = begun(), begun()
    old = str(shop_of(fresh).pk)
    asked(fresh, "join", secret=coded(keeper)["secret"], name="Bench")
    act = tap()
    answer = fresh.post("/sync", {"acts": "[]", "cursor": 9, "shop": old}, headers=OWN)
    assert words(answer) == (409, "This phone has joined another shop since. What it holds stays on it.")
    assert not Act.objects.filter(act_id=act["id"]).exists()
    assert (
        fresh.post("/sync", {"shop": str(shop_of(fresh).pk)}, headers={**OWN, "HX-Request": "true"}).status_code == 200
    )


def test_a_phone_that_is_in_the_shop_needs_no_code():
    keeper = begun()
    wall, secret = walled(keeper), coded(keeper, "painter")["secret"]
    answer = asked(wall, "join", secret=secret, name="Wall")
    assert words(answer) == (400, "This phone is in “My shop” already. The code is still good for another.")
    assert phone_of(wall).role == "wall"
    assert asked(Client(), "join", secret=secret, name="Bench").status_code == 200
