"""How far an act has come: what a phone says it holds, and what it is told of the others."""

import pytest
from django.test import Client

from shop.models import Phone, Shop
from shop.security import access
from tests.shop.live.test_live import now_ms, read_air

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop() -> Shop:
    return access.new_shop("Ours", "UTC", now_ms())


def heard(client: Client, cursor: int) -> int:
    """A sync that says what the phone holds; what it is told of the others."""
    body = {"acts": [], "cursor": cursor}
    answer = client.post("/sync", body, content_type="application/json", headers={"X-Sandtime": "1"})
    return answer.json()["seen"]


@pytest.fixture
def three(shop) -> list[Client]:
    tokens = [access.new_phone(shop, "painter", 0)[1] for _ in range(3)]
    for _ in range(9):
        read_air(shop)
    return [Client(headers={"Authorization": f"Bearer {token}"}) for token in tokens]


def _long_ago():
    Phone.objects.update(seen_ms=0)


def test_a_phone_is_told_the_highest_that_another_of_its_shop_said_it_holds(three):
    one, two, other = three
    assert heard(one, 4) == 0  # what it says itself does not count
    assert heard(two, 7) == 4
    assert heard(other, 0) == 7
    assert heard(one, 4) == 7
    stranger = Client(headers={"Authorization": f"Bearer {elsewhere()}"})
    assert heard(stranger, 0) == 0


def test_what_a_phone_holds_is_written_now_and_then_only_and_goes_back_only_to_nothing(three):
    one, two, _ = three
    heard(one, 4)
    heard(one, 6)
    assert heard(two, 0) == 4  # ten seconds have not gone by
    for said, told in ((6, 6), (5, 6), (8, 8), (0, 0)):
        _long_ago()
        heard(one, said)
        assert heard(two, 0) == told


def test_an_ended_phone_and_one_that_holds_more_than_the_shop_count_for_nothing(three):
    one, two, _ = three
    heard(one, 4)
    Phone.objects.filter(cursor=4).update(ended_ms=1)
    assert heard(two, 99) == 0  # ninety-nine: of a shop that was put back from a copy
    assert not Phone.objects.filter(cursor=99).exists()


def test_a_fragment_tells_the_number_of_each_of_its_acts_in_steps(shop, three):
    answer = (
        three[0]
        .post("/sync", {"acts": [], "cursor": 0}, content_type="application/json", headers={"X-Sandtime": "1"})
        .json()
    )
    (air,) = answer["fragments"]
    assert (air["seq"], len(air["acts"]), air["seqs"]) == (9, 9, [1] * 9)


def test_asking_whether_the_shop_moved_is_for_phones_of_a_shop(three):
    assert Client().get("/moved").status_code == 401
    assert three[0].get("/moved").status_code == 200
    Phone.objects.update(ended_ms=1)
    assert three[0].get("/moved").status_code == 401


def test_asking_costs_a_304_until_the_shop_moves(shop):
    token = access.new_phone(shop, "painter", 0)[1]
    phone, other = (Client(headers={"Authorization": f"Bearer {one}"}) for one in (token, elsewhere()))
    answer = phone.get("/moved")
    assert (answer.status_code, answer.json(), answer["Cache-Control"].count("no-store")) == (
        200,
        {"seq": 0, "role": "painter"},
        1,
    )
    tag = {"If-None-Match": answer["ETag"]}
    assert (phone.get("/moved", headers=tag).status_code, phone.get("/moved", headers=tag).content) == (304, b"")
    assert other.get("/moved", headers=tag).json() == {"seq": 0, "role": "keeper"}  # another shop at the same number
    seq = read_air(shop)
    assert phone.get("/moved", headers=tag).json() == {"seq": seq, "role": "painter"}


def elsewhere() -> str:
    return access.new_phone(access.new_shop("Theirs", "UTC", now_ms()), "keeper", now_ms())[1]
