"""A phone that lost its cookie and joins again stands in the shop once, as the phone it was."""

import pytest
from django.test import Client

from shop.models import Phone
from shop.security import access
from tests.shop.security.test_access import post, tap, token_of
from tests.support.joins import asked, bearing, begun, coded, joined, phone_of, shop_of, walled
from timers.core.acts.signature import signed

pytestmark = pytest.mark.django_db
ASKER = "0123"


def proof(phone: Phone, key: str = "") -> dict[str, str]:
    return {
        "was": str(phone.pk),
        "proof": signed(key or access.mark_key(phone), f"sandtime was 1\n{ASKER}"),
        "asker": ASKER,
    }


def again(keeper: Client, role: str = "painter", **fields) -> tuple[Client, dict]:
    client = Client(raise_request_exception=False)
    answer = asked(client, "join", secret=coded(keeper, role)["secret"], name="Prep", **fields)
    return client, answer.json()


def test_it_is_the_same_phone_once_in_the_list_and_what_it_had_taken_is_its_own():
    keeper = begun()
    prep = joined(keeper, name="Prep")
    phone = phone_of(prep)
    on = f"panel:{tap('air', 'air_read')['id']}"
    post(prep, [tap(on, "panel_added", name="Door", steps=[]), tap(on, "panel_taken", by=str(phone.pk))])
    fresh, joining = again(keeper, **proof(phone))
    assert joining["phone"] == str(phone.pk)
    assert [one["name"] for one in keeper.get("/phones").json()["phones"]].count("Prep") == 1
    assert phone_of(fresh) == phone
    assert post(prep).status_code == 401  # the lost cookie opens nothing more


@pytest.mark.parametrize(
    "wrong", [{"proof": ""}, {"proof": "0" * 32}, {"asker": "other"}, {"was": "x"}, {"was": "7" * 36}]
)
def test_who_proves_nothing_comes_in_as_another_phone(wrong):
    keeper = begun()
    prep = phone_of(joined(keeper, name="Prep"))
    _, joining = again(keeper, **{**proof(prep), **wrong})
    assert joining["phone"] != str(prep.pk)
    assert Phone.objects.get(pk=prep.pk).token_digest == prep.token_digest


def test_neither_a_wall_nor_a_phone_of_another_shop_is_taken_for_one_of_this():
    keeper = begun()
    for other in (phone_of(walled(keeper)), phone_of(begun())):
        _, joining = again(keeper, **proof(other, "00" if other.role == "wall" else ""))
        assert joining["phone"] != str(other.pk)


def test_the_role_is_what_the_code_says_but_the_last_keeper_stays_one():
    keeper = begun()
    last = phone_of(keeper)
    fresh, joining = again(keeper, "painter", **proof(last))
    assert joining["role"] == "keeper"
    second = phone_of(joined(fresh, "keeper", name="Second"))
    assert again(fresh, "painter", **proof(second))[1]["role"] == "painter"
    assert shop_of(fresh).phones.count() == 2


def test_an_answer_lost_on_the_way_is_told_again_and_an_ended_phone_is_let_back_in():
    keeper = begun()
    phone = phone_of(joined(keeper, name="Prep"))
    asked(keeper, "phones/end", phone=str(phone.pk))
    secret = coded(keeper)["secret"]
    for _ in range(2):
        answer = asked(Client(), "join", secret=secret, name="Prep", **proof(phone))
        assert answer.json()["phone"] == str(phone.pk)
    assert Phone.objects.get(pk=phone.pk).ended_ms is None


def test_an_ended_phone_that_joins_by_a_code_gets_another_token_and_a_copy_of_the_old_one_opens_nothing():
    keeper = begun()
    lost = joined(keeper, name="Bench")
    copy, phone = token_of(lost), phone_of(lost)
    asked(keeper, "phones/end", phone=str(phone.pk))
    fields = {"secret": coded(keeper)["secret"], "name": "Bench", "asker": "0123"}
    for _ in range(2):  # the answer may be lost on the way
        assert asked(lost, "join", **fields).json()["phone"] == str(phone.pk)
        assert (bearing(copy), bearing(token_of(lost))) == (401, 200)
        lost.cookies[access.COOKIE] = copy
