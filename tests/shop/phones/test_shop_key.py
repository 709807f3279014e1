"""The shop's key, by which its phones know what they hand to each other: theirs alone, and told nowhere else."""

import logging
import re

import pytest
from django.db import connection
from django.db.migrations.executor import MigrationExecutor

from shop.models import Phone, Shop

from ..security.test_access import begun, post, tap

pytestmark = pytest.mark.django_db
KEY = re.compile(r'data-key="([^"]*)"')


def told(client) -> str:
    return KEY.search(post(client).content.decode())[1]


def test_every_shop_has_a_key_of_its_own_of_256_bits():
    one, two = told(begun()), told(begun())
    assert one != two
    assert all(re.fullmatch("[0-9a-f]{64}", key) for key in (one, two))
    assert {shop.key for shop in Shop.objects.all()} == {one, two}


def test_all_phones_of_a_shop_that_may_act_get_it_and_a_wall_does_not(settings):
    settings.OPEN_SHOP = True
    one, two = begun(), begun()
    assert told(one) == told(two) == Shop.objects.get().key
    Phone.objects.filter(role="painter").update(role="wall")
    assert told(two) == ""


def test_a_phone_that_was_ended_gets_no_key():
    client = begun()
    key = told(client)
    Phone.objects.update(ended_ms=1)
    assert key not in post(client).content.decode()


def test_other_programs_and_pages_and_the_log_are_not_told(caplog):
    client = begun()
    key = told(client)
    with caplog.at_level(logging.DEBUG):
        said = post(client, [tap(), "no act"], {"X-Sandtime": "1"}).content.decode()
        client.post("/sync", "{", content_type="application/json", headers={"X-Sandtime": "1"})
        for path in ("/", "/clock", "/sw.js", "/app.webmanifest"):
            said += client.get(path).content.decode()
    assert key not in said
    assert key not in caplog.text
    assert key not in str(Shop.objects.get())
    assert key not in repr(Shop.objects.get())


@pytest.mark.django_db(transaction=True)
def test_a_shop_from_before_gets_a_key_too():
    before = [("shop", "0002_push")]
    old = MigrationExecutor(connection)
    here = old.loader.graph.leaf_nodes()
    old.migrate(before)
    rows = old.loader.project_state(before).apps.get_model("shop", "Shop").objects
    for name in ("One", "Two"):
        rows.create(name=name, made_ms=1)
    MigrationExecutor(connection).migrate(here)
    keys = [shop.key for shop in Shop.objects.all()]
    assert len(set(keys)) == 2
    assert all(len(key) == 64 for key in keys)
