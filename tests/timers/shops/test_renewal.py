"""Defaults that nobody changed are renewed in shops that hold older ones; what a person changed stays as it is."""

import os

import pytest
from django.utils import translation

from tests.timers.log.test_log import NOW_MS
from timers.core.acts.envelope import new_id
from timers.core.base.units import DAY_MS
from timers.defaults import initial_acts, products
from timers.log import writer
from timers.models import Act, ThingState
from timers.shops import renewal, sign_up

pytestmark = pytest.mark.django_db
LATER_MS = NOW_MS + DAY_MS
CHANGED, OLDER, AWAY = (f"product:{products.PRODUCTS[nth]['id']}" for nth in (0, 3, 5))
NEW = f"product:{products.PRODUCTS[-1]['id']}"


def act(on: str, kind: str, **fields) -> dict:
    return {"id": new_id(NOW_MS + 1, os.urandom(10)), "at": NOW_MS + 1, "on": on, "kind": kind, **fields}


@pytest.fixture
def older(monkeypatch):
    """A shop that began with other figures, and without the last product."""
    docs = [{**doc, "notes": "older"} for doc in products.PRODUCTS[:-1]]
    with monkeypatch.context() as patched:
        patched.setattr(products, "PRODUCTS", docs)
        initial_acts._defaults.cache_clear()
        shop = sign_up.furnished_shop("My shop", "UTC", NOW_MS)
    initial_acts._defaults.cache_clear()
    return shop


def doc_of(shop, on: str) -> dict:
    return ThingState.objects.get(shop=shop, on=on).state["doc"]


def test_what_nobody_changed_is_renewed_once_and_what_a_person_changed_stays(older):
    changed = {**doc_of(older, CHANGED), "name": "Ours"}
    head = ThingState.objects.get(shop=older, on=CHANGED).state["head"]
    writer.append(older.pk, None, [act(CHANGED, "sheet_written", doc=changed, over=[head])], NOW_MS + 1)
    writer.append(older.pk, None, [act(AWAY, "sheet_put_away")], NOW_MS + 1)
    assert renewal.renew(LATER_MS) == len(products.PRODUCTS) - 1
    wanted = {on: doc for on, _, doc in initial_acts.docs("en")}
    assert doc_of(older, CHANGED) == changed
    del wanted[CHANGED]
    assert {on: doc_of(older, on) for on in wanted} == wanted
    away = ThingState.objects.get(shop=older, on=AWAY).state
    assert (away["away_at"], away["rivals"]) == (NOW_MS + 1, [])
    count = Act.objects.count()
    assert (renewal.renew(LATER_MS + 1), Act.objects.count()) == (0, count)


def test_a_renewed_sheet_is_renewed_again(older, monkeypatch):
    renewal.renew(LATER_MS)
    monkeypatch.setattr(products, "PRODUCTS", [{**doc, "notes": "newer"} for doc in products.PRODUCTS])
    initial_acts._defaults.cache_clear()
    renewal.renew(LATER_MS + DAY_MS)
    initial_acts._defaults.cache_clear()
    assert (doc_of(older, OLDER)["notes"], doc_of(older, NEW)["notes"]) == ("newer", "newer")


def test_a_shop_in_which_nothing_was_done_gets_its_defaults_with_its_first_act():
    lean = sign_up.lean_shop("My shop", "UTC", NOW_MS)
    assert (renewal.renew(LATER_MS), Act.objects.filter(shop=lean).count()) == (0, 0)


def test_a_shop_is_renewed_in_its_own_language(monkeypatch):
    older_docs = [{**doc, "notes": "older"} for doc in products.PRODUCTS]
    with monkeypatch.context() as patched, translation.override("de"):
        patched.setattr(products, "PRODUCTS", older_docs)
        initial_acts._defaults.cache_clear()
        shop = sign_up.furnished_shop("Werkstatt", "UTC", NOW_MS)
    initial_acts._defaults.cache_clear()
    renewal.renew(LATER_MS)
    german = {on: doc for on, _, doc in initial_acts.docs("de")}
    assert doc_of(shop, OLDER) == german[OLDER]
    assert german[OLDER]["name"] != products.PRODUCTS[3]["name"]
