"""The phones of a shop: who may do what, who is ended and let back in, the last keeper, the recovery phrase."""

import json

import pytest
from django.contrib.auth.hashers import ScryptPasswordHasher
from django.test import Client
from freezegun import freeze_time

from shop.models import Phone, Shop
from shop.phones import code_alphabet, recovery_phrase, roles
from shop.security import access, errors
from tests.shop.security.test_access import post, tap, token_of
from tests.support.joins import asked, bearing, begun, coded, joined, phone_of, shop_of, walled
from timers.models import Act

LOOKS_ONLY = "This phone is on the wall: it may only look. A keeper's phone can change that."
LAST = "This is the last keeper's phone. Make another one keeper first. Nothing was changed."

pytestmark = pytest.mark.django_db
DEEDS = {
    "phones/code": {"role": "keeper"},
    "phones/role": {"role": "keeper"},
    "phones/end": {},
    "phones/back": {},
    "phones/phrase": {},
}


def verdicts(client: Client, acts: list) -> list[dict]:
    headers = {"Authorization": f"Bearer {token_of(client)}"}
    body = json.dumps({"acts": acts})
    return Client().post("/sync", body, content_type="application/json", headers=headers).json()["verdicts"]


def listed(client: Client) -> dict:
    return client.get("/phones").json()


def change(keeper: Client, deed: str, whom: Client, **fields):
    return asked(keeper, f"phones/{deed}", phone=str(Phone.objects.get(token_digest=digest(whom)).pk), **fields)


def digest(client: Client) -> str:
    return access.digest(token_of(client))


def test_the_phones_are_listed_with_name_role_and_last_seen_the_ended_ones_last():
    keeper = begun()
    painter, wall = joined(keeper), walled(keeper)
    change(keeper, "end", painter)
    roster = listed(wall)
    assert [(one["name"], one["role"]) for one in roster["phones"]][-1] == ("Bench", "painter")
    assert sorted(one["name"] for one in roster["phones"]) == ["", "Bench", "Wall"]
    assert all(one["seen_ms"] > 0 for one in roster["phones"])
    assert (roster["role"], roster["here"], roster["phrase"]) == ("wall", str(phone_of(wall).pk), False)
    assert "token" not in json.dumps(roster)


def test_the_service_worker_holds_what_draws_the_picture_of_a_link():
    worker = Client().get("/sw.js").content.decode()
    assert "/static/vendor/lean\\u002Dqr.mjs" in worker
    assert "LICENSE" not in worker


# --- roles ---


def test_each_tap_of_a_wall_is_refused_in_words_and_none_is_kept():
    keeper = begun()
    wall = walled(keeper)
    acts = [tap(), tap(temp_dc=1), {"id": 3}, "no tap"]
    answers = verdicts(wall, acts)
    assert [one["verdict"] for one in answers] == ["refused"] * 4
    assert {one["why"] for one in answers} == {LOOKS_ONLY}
    assert not Act.objects.filter(kind="air_read").exists()
    assert post(wall, [tap()]).status_code == 200


def test_a_tap_that_was_kept_before_its_phone_came_on_the_wall_stays_kept():
    keeper = begun()
    painter, act = joined(keeper), tap()
    assert verdicts(painter, [act])[0]["verdict"] == "kept"
    change(keeper, "role", painter, role="wall")
    assert [one["verdict"] for one in verdicts(painter, [act, {**act, "temp_dc": 1}])] == ["already kept", "refused"]
    change(keeper, "role", painter, role="painter")
    assert verdicts(painter, [tap()])[0]["verdict"] == "kept"


@pytest.mark.parametrize("deed", DEEDS)
@pytest.mark.parametrize("role", ["painter", "wall"])
def test_only_a_keeper_lets_in_ends_and_changes(deed, role):
    keeper = begun()
    other = joined(keeper, role)
    before = list(Phone.objects.order_by("pk").values())
    answer = asked(other, deed, phone=str(phone_of(keeper).pk), **DEEDS[deed])
    assert (answer.status_code, answer.content.decode()) == (
        403,
        "Only a keeper's phone can do that. Nothing was changed.",
    )
    assert list(Phone.objects.order_by("pk").values()) == before


@pytest.mark.parametrize("deed", ["phones/role", "phones/end", "phones/back"])
@pytest.mark.parametrize("whom", ["another shop's", "nobody", "no number"])
def test_a_keeper_changes_no_phone_but_the_shops_own(deed, whom):
    keeper, other = begun(), begun()
    number = {"another shop's": str(phone_of(other).pk), "nobody": str(shop_of(other).pk), "no number": "x"}[whom]
    answer = asked(keeper, deed, phone=number, **DEEDS[deed])
    assert answer.content.decode() == "No such phone is in this shop. Nothing was changed."
    assert (phone_of(other).role, phone_of(other).ended_ms) == ("keeper", None)


@pytest.mark.parametrize("path", ["phones/role", "phones/code"])
def test_a_role_that_is_none_is_refused(path):
    keeper = begun()
    assert asked(keeper, path, phone=str(phone_of(keeper).pk), role="owner").status_code == 400
    assert phone_of(keeper).role == "keeper"


# --- ended, and back ---


def test_an_ended_phone_is_told_so_and_its_taps_arrive_when_it_is_let_back_in():
    keeper = begun()
    painter, act = joined(keeper), tap(temp_dc=123)
    change(keeper, "end", painter)
    answer = post(painter, [act])
    assert (answer.status_code, answer.content.decode()) == (
        401,
        "This phone was ended by a keeper. What it holds stays on it.",
    )
    assert painter.get("/phones").status_code == 401
    change(keeper, "back", painter)
    assert post(painter, [act]).status_code == 200
    assert '"temp_dc": 123' in post(keeper).content.decode()


def test_an_ended_phone_that_joins_its_shop_again_is_the_same_phone():
    keeper = begun()
    painter = joined(keeper, name="Bench")
    before = phone_of(painter).pk
    change(keeper, "end", painter)
    secret = coded(keeper, "wall")["secret"]
    assert asked(painter, "join", secret=secret, name="Bench two").status_code == 200
    here = phone_of(painter)
    assert (here.pk, here.role, here.name, here.ended_ms) == (before, "wall", "Bench two", None)
    assert asked(Client(), "join", secret=secret, name="Other").status_code == 400


# --- the last keeper ---


@pytest.mark.parametrize(("deed", "fields"), [("end", {}), ("role", {"role": "painter"}), ("role", {"role": "wall"})])
def test_the_last_keeper_is_neither_ended_nor_given_another_role(deed, fields):
    keeper = begun()
    joined(keeper, "painter")
    gone = joined(keeper, "keeper")
    change(keeper, "end", gone)
    answer = change(keeper, deed, keeper, **fields)
    assert (answer.status_code, answer.content.decode()) == (400, LAST)
    assert (phone_of(keeper).role, phone_of(keeper).ended_ms) == ("keeper", None)
    change(keeper, "back", gone)
    assert change(keeper, deed, keeper, **fields).status_code == 200


def test_a_keeper_who_was_ended_in_the_meantime_changes_nothing():
    one = begun()
    two = joined(one, "keeper")
    stale = phone_of(one)
    change(two, "end", one)
    with pytest.raises(errors.Forbidden):
        roles.end(stale, str(phone_of(two).pk), 1)
    assert phone_of(two).ended_ms is None


# --- the recovery phrase ---


def test_the_phrase_makes_any_phone_a_keeper_and_again_and_is_kept_only_as_a_slow_hash(quick_phrases, monkeypatch):
    monkeypatch.setattr(ScryptPasswordHasher, "work_factor", quick_phrases)
    keeper = begun()
    made = asked(keeper, "phones/phrase").json()["phrase"]
    assert (len(code_alphabet.ALPHABET) ** (recovery_phrase.SIGNS - recovery_phrase.GROUP)) > 2**128
    row = Shop.objects.values("phrase_name", "phrase_hash").get()
    assert row["phrase_name"] == made[:4]
    assert row["phrase_hash"].startswith("scrypt$16384$")
    assert made[5:9] not in row["phrase_hash"]
    for typed in (made, made.lower().replace(" ", "-")):
        client = Client()
        assert asked(client, "join", typed=typed, name="New").status_code == 200
        assert (phone_of(client).role, shop_of(client)) == ("keeper", shop_of(keeper))


def test_a_painter_of_the_shop_becomes_keeper_by_the_phrase_and_an_ended_one_too():
    keeper = begun()
    made = asked(keeper, "phones/phrase").json()["phrase"]
    painter, ended = joined(keeper), joined(keeper)
    change(keeper, "end", ended)
    for client in (painter, ended):
        token = token_of(client)
        assert asked(client, "join", typed=made, name="Bench").json()["role"] == "keeper"
        assert (bearing(token), bearing(token_of(client))) == (401, 200)
    assert shop_of(keeper).phones.count() == 3


def test_a_new_phrase_makes_the_old_one_void():
    keeper = begun()
    old, new = (asked(keeper, "phones/phrase").json()["phrase"] for _ in range(2))
    assert asked(Client(), "join", typed=old, name="New").status_code == 400
    assert asked(Client(), "join", typed=new, name="New").status_code == 200


@freeze_time("2026-11-25 12:01:00")  # tries are counted by blocks of ten minutes
def test_wrong_phrases_of_one_shop_are_stopped_from_everywhere():
    keeper = begun()
    made = asked(keeper, "phones/phrase").json()["phrase"]
    wrong = made[:-1] + ("A" if made[-1] != "A" else "C")
    for n in range(recovery_phrase.MOST_WRONG):
        client = Client(REMOTE_ADDR=f"192.0.2.{n}")
        assert asked(client, "join", typed=wrong, name="New").status_code == 400
    answer = asked(Client(REMOTE_ADDR="192.0.2.99"), "join", typed=made, name="New")
    assert answer.content.decode() == "This phrase was tried too often. Wait ten minutes."
    assert shop_of(keeper).phones.count() == 1


def test_two_shops_never_have_phrases_of_one_first_group(monkeypatch):
    one, other = begun(), begun()
    drawn = iter(["K4T7" + "A" * 28, "K4T7" + "C" * 28, "WX24" + "A" * 28])
    monkeypatch.setattr(code_alphabet, "random_signs", lambda count: next(drawn))
    assert asked(one, "phones/phrase").json()["phrase"].startswith("K4T7 AAAA")
    assert asked(other, "phones/phrase").json()["phrase"].startswith("WX24")


def test_a_phrase_is_not_lost_when_its_making_is_refused():
    keeper = begun()
    painter = joined(keeper)
    made = asked(keeper, "phones/phrase").json()["phrase"]
    assert asked(painter, "phones/phrase").status_code == 403
    assert asked(Client(), "join", typed=made, name="New").status_code == 200
