"""Every address, from the URLconf itself, tried by another shop's phone, an ended phone, a wall tablet and nobody."""

import itertools
import json
import uuid
from urllib.parse import urlencode

import pytest
from django.test import Client

from shop.models import Invite, Phone, Shop
from tests.shop.security.test_access import HTMX, OWN, SECRET, begun, post, tap
from tests.support.addresses import ADDRESSES, ASKERS, ENDED, NOBODY, OTHER, WALL, addresses
from tests.support.each import try_all
from tests.support.joins import joined, phone_of, walled
from timers.core.acts.envelope import new_id
from timers.models import Act, ThingState
from timers.web.pages import now_ms

pytestmark = pytest.mark.django_db
FORM = "application/x-www-form-urlencoded"


class House:
    """A shop with a secret on a panel, a keeper, a painter, a tablet on the wall and a phone that was ended."""

    def __init__(self):
        self.keeper = begun()
        self.panel = f"panel:{new_id(now_ms(), uuid.uuid4().bytes[:10])}"
        assert post(self.keeper, [tap(self.panel, "panel_added", name=SECRET, steps=[])]).status_code == 200
        ended = joined(self.keeper, name="Ended")
        self.askers = {OTHER: begun(), ENDED: ended, WALL: walled(self.keeper), NOBODY: Client()}
        joined(self.keeper, name="Painter")
        self.shop, self.keeps = Shop.objects.get(phones__name="Painter"), phone_of(self.keeper)
        self.shop.phones.filter(name="Ended").update(ended_ms=1)

    def rows(self) -> list:
        """All that the database holds of the shop, but for when its phones were seen."""
        return [
            list(Act.objects.filter(shop=self.shop).order_by("seq").values_list("seq", "body", "phone")),
            list(ThingState.objects.filter(shop=self.shop).order_by("on").values_list("on", "seq", "state")),
            list(self.shop.phones.order_by("pk").values_list("pk", "name", "role", "ended_ms", "token_digest")),
            list(Invite.objects.filter(shop=self.shop).order_by("pk").values()),
            list(Shop.objects.filter(pk=self.shop.pk).values()),
        ]

    def bodies(self) -> list[dict]:
        """What an asker may post to get at the shop; nothing as well."""
        known = Act.objects.get(shop=self.shop, kind="panel_added").body
        acts = [tap(self.panel, "panel_named", name="Not yours"), {**known, "name": "Not yours"}]
        whom = {"phone": str(self.keeps.pk), "role": "wall", "name": "Not yours", "leaves": str(self.shop.pk)}
        said = {"acts": json.dumps(acts), "shop": str(self.shop.pk), "typed": "K4T7WX24A", "secret": "", **whom}
        return [said, {}]

    def headers(self) -> list[dict]:
        """As our page asks for markup, and as a program asks that names the shop."""
        return [HTMX, {**OWN, "X-Shop": str(self.shop.pk)}]

    def secrets(self) -> tuple[str, ...]:
        return (SECRET, "Painter", str(self.shop.pk), str(self.keeps.pk))


def test_every_address_stands_in_the_table_and_none_that_is_gone():
    assert {name for name, _ in addresses()} == set(ADDRESSES)


@pytest.mark.parametrize(("name", "path"), list(addresses()))
def test_nobody_who_may_not_sees_or_touches_anything_of_ours(name, path):
    house = House()
    before = house.rows()

    def check(asker):
        for method, fields, headers in itertools.product(ADDRESSES[name][0], house.bodies(), house.headers()):
            answer = house.askers[asker].generic(method, path, urlencode(fields), FORM, headers=headers)
            text = answer.getvalue().decode() if answer.streaming else answer.content.decode()
            assert answer.status_code in ADDRESSES[name][1][asker], text
            if asker != WALL:  # a wall of the shop looks at it
                assert [secret for secret in house.secrets() if secret in text] == []
            assert house.shop.key not in text
            if name == "begin":
                break  # it is another phone from here on
        assert house.rows() == before

    try_all(list(ASKERS), check)


@pytest.mark.parametrize("path", [path for _, path in addresses()] + ["/nowhere"])
def test_every_answer_that_runs_something_carries_the_strict_policy(path):
    for client in (Client(), begun()):
        policy = client.get(path).headers["Content-Security-Policy"]
        assert "unsafe" not in policy
        assert "*" not in policy
        assert {"default-src 'none'", "script-src 'self'", "base-uri 'none'"} <= set(policy.split("; "))


def test_an_ended_phone_and_a_wall_are_what_the_table_takes_them_for():
    house = House()
    assert post(house.askers[ENDED]).status_code == 401
    assert Phone.objects.get(name="Wall").role == "wall"
    assert SECRET in post(house.askers[WALL]).content.decode()
