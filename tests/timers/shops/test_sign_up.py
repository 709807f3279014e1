"""How a shop begins: what it is given, in which zone; and the demo shop."""

import random

import pytest

from shop.models import Shop
from tests.timers.log.test_log import NOW_MS, tap
from timers.core.acts import envelope as rules
from timers.core.acts.product_schema import CLASSES
from timers.defaults import products, routes
from timers.log import reader
from timers.models import ThingState
from timers.shops import demo, sign_up

pytestmark = pytest.mark.django_db


def test_every_typical_product_and_route_may_be_kept_and_every_class_has_a_product():
    written = [("product", "sheet_written", doc) for doc in products.PRODUCTS]
    written += [("route", "route_written", doc) for doc in routes.ROUTES]
    for what, kind, doc in written:
        act = tap(random.Random(doc["id"]), f"{what}:{doc['id']}", kind, doc=doc)
        assert rules.refusal(act, NOW_MS) == ""
    assert {doc["cls"] for doc in products.PRODUCTS} == set(CLASSES)
    assert all(step["cls"] in ("", *CLASSES) for doc in routes.ROUTES for step in doc["steps"])


def test_a_new_shop_is_furnished_by_acts_like_any_other():
    shop = sign_up.furnished_shop("My shop", "Asia/Tokyo", NOW_MS)
    docs = {row.state["doc"]["id"]: row.state["doc"] for row in ThingState.objects.all()}
    defaults = [products.translated(one) for one in products.PRODUCTS] + [
        routes.translated(one) for one in routes.ROUTES
    ]
    assert docs == {doc["id"]: doc for doc in defaults}
    assert (shop.zone, Shop.objects.get().seq) == ("Asia/Tokyo", len(docs))


@pytest.mark.parametrize("zone", ["", "Nowhere/At_All", "../../etc/passwd", "x" * 5_000, "\x00", "Europe"])
def test_a_zone_that_is_none_is_utc(zone):
    assert sign_up.furnished_shop("My shop", zone, NOW_MS).zone == "UTC"


def test_the_demo_garage_has_five_panels_at_five_different_steps():
    cards = reader.floor(demo.demo_shop("UTC", NOW_MS), NOW_MS)["cards"]
    assert len({card["face"]["say"] for card in cards}) == len(cards) == 5
