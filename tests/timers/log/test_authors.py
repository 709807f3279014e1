"""Who did it: the server says, by the phone that tells it or by the mark of the phone that made it."""

import json

import pytest

from shop.models import Phone
from shop.security import access
from tests.shop.security.test_access import post, tap
from tests.support.joins import asked, begun, joined, phone_of, walled
from timers.core.acts.signature import mark
from timers.log import reader as log_reader
from timers.log.epoch import Heard
from timers.models import Act
from timers.web.pages import now_ms

pytestmark = pytest.mark.django_db
JSON = "application/json"


@pytest.fixture
def house():
    """A keeper, a painter and another painter of one shop."""
    keeper = begun()
    return keeper, joined(keeper, name="Prep"), joined(keeper, name="Cleo")


def posted(client, *acts: dict, marks: dict | None = None) -> list[str]:
    body = json.dumps({"acts": acts, "cursor": 0} | ({"marks": marks} if marks else {}))
    answer = client.post("/sync", body, content_type=JSON, headers={"X-Sandtime": "1"})
    assert answer.status_code == 200
    return [one.get("why") or one["verdict"] for one in answer.json()["verdicts"]]


def made_by(client, kind: str = "panel_added", on: str = "", **fields) -> dict:
    fields = fields or {"name": "Door", "steps": []}
    on = on or f"panel:{tap('air', 'air_read')['id']}"
    return tap(on, kind, who=str(phone_of(client).pk), **fields)


def signed(client, act: dict) -> dict[str, str]:
    return {act["id"]: mark(access.mark_key(phone_of(client)), act)}


def hearsay(reader, act: dict) -> str:
    """The phone that a reader is said to have told an act by hearsay; "" where its maker is sure."""
    fragments = log_reader.changed(phone_of(reader).shop, Heard(), now_ms())["fragments"]
    (one,) = [fragment for fragment in fragments if act in fragment["acts"]]
    return one.get("told_by", {}).get(act["id"], "")


def test_a_painter_cannot_name_the_shop_in_a_keepers_name(house):
    keeper, painter, _ = house
    forged = made_by(keeper, "shop_named", "shop", name="Named by painter")
    words = "Only a keeper's phone names the shop. A keeper's phone can make this one a keeper's too."
    assert posted(painter, forged) == [words]
    assert posted(painter, forged, marks=signed(painter, forged)) == [words]
    assert phone_of(keeper).shop.name != "Named by painter"


def test_a_painter_cannot_take_a_name_back_in_a_keepers_name(house):
    keeper, painter, _ = house
    named = made_by(keeper, "shop_named", "shop", name="Corner garage")
    assert posted(keeper, named) == ["kept"]
    undone = made_by(keeper, "undone", "shop", act=named["id"])
    assert posted(painter, undone)[0].startswith("Only a keeper's phone")
    assert posted(painter, undone, marks=signed(keeper, undone)) == ["kept"]


def test_an_act_signed_with_anothers_name_is_kept_and_says_who_told_it(house):
    _, prep, cleo = house
    forged = made_by(cleo)
    assert posted(prep, forged) == ["kept"]
    assert hearsay(cleo, forged) == str(phone_of(prep).pk)
    answer = post(cleo).content.decode()
    assert f'"told_by": {{"{forged["id"]}": "{phone_of(prep).pk}"}}' in answer


def test_the_answer_to_the_post_says_hearsay_as_a_later_reader_is_told_it(house):
    _, prep, cleo = house
    forged = made_by(cleo)
    body = json.dumps({"acts": [forged], "cursor": phone_of(prep).shop.seq})
    answer = prep.post("/sync", body, content_type=JSON, headers={"X-Sandtime": "1"}).json()
    assert answer["fragments"][0]["told_by"] == {forged["id"]: str(phone_of(prep).pk)}
    again = made_by(cleo, "panel_put_away", forged["on"], note="")
    assert posted(cleo, again) == ["kept"]
    assert hearsay(cleo, forged) == str(phone_of(prep).pk)
    assert hearsay(cleo, again) == ""


def test_an_act_that_its_maker_marked_is_the_makers_whoever_posts_it(house):
    _, prep, cleo = house
    act = made_by(cleo)
    assert posted(prep, act, marks=signed(cleo, act)) == ["kept"]
    assert hearsay(prep, act) == ""
    assert Act.objects.get(act_id=act["id"]).phone == phone_of(prep)


def test_the_form_of_our_own_page_carries_marks_too(house):
    _, prep, cleo = house
    act = made_by(cleo)
    fields = {"acts": json.dumps([act]), "cursor": "0", "marks": json.dumps(signed(cleo, act))}
    assert prep.post("/sync", fields, headers={"HX-Request": "true"}).status_code == 200
    assert hearsay(prep, act) == ""


@pytest.mark.parametrize("altered", [{"name": "Hood"}, {"at": 1741075200000}, {"more": 1}])
def test_an_act_that_was_altered_on_its_way_is_hearsay(house, altered):
    _, prep, cleo = house
    act = made_by(cleo)
    wrong = {**act, **altered}
    assert posted(prep, wrong, marks=signed(cleo, act)) == ["kept"]
    assert hearsay(prep, wrong) == str(phone_of(prep).pk)


@pytest.mark.parametrize("wrong", ["", "0" * 32, "0" * 31, None, 7, ["0" * 32], {"a": 1}])
def test_a_mark_that_is_none_makes_hearsay_and_loses_nothing(house, wrong):
    _, prep, cleo = house
    act = made_by(cleo)
    assert posted(prep, act, marks={act["id"]: wrong}) == ["kept"]
    assert hearsay(prep, act) == str(phone_of(prep).pk)


@pytest.mark.parametrize("marks", [7, [], "x", None])
def test_marks_that_are_no_marks_vouch_for_nothing(house, marks):
    _, prep, cleo = house
    act = made_by(cleo)
    body = json.dumps({"acts": [act], "marks": marks})
    answer = prep.post("/sync", body, content_type=JSON, headers={"X-Sandtime": "1"})
    assert answer.json()["verdicts"][0]["verdict"] == "kept"
    assert hearsay(prep, act) == str(phone_of(prep).pk)


def test_the_mark_of_an_ended_phone_of_a_wall_and_of_another_shop_vouches_for_nothing(house):
    keeper, prep, cleo = house
    wall, other = walled(keeper), begun()
    acts = [made_by(one) for one in (cleo, wall, other)]
    key = access.mark_key(Phone(pk=phone_of(wall).pk))  # what it marked with before it came on the wall
    marks = signed(cleo, acts[0]) | {acts[1]["id"]: mark(key, acts[1])} | signed(other, acts[2])
    assert asked(keeper, "phones/end", phone=str(phone_of(cleo).pk)).status_code == 200
    assert posted(prep, *acts, marks=marks) == ["kept"] * 3
    assert [hearsay(prep, act) for act in acts] == [str(phone_of(prep).pk)] * 3


def test_a_phone_that_says_nothing_of_who_or_names_itself_is_no_hearsay(house):
    _, prep, _ = house
    plain, own = tap(f"panel:{tap('air', 'air_read')['id']}", "panel_added", name="Door", steps=[]), made_by(prep)
    assert posted(prep, plain, own) == ["kept", "kept"]
    assert [hearsay(prep, act) for act in (plain, own)] == ["", ""]


def test_each_phone_is_told_a_key_of_its_own_and_a_wall_none(house):
    keys = [access.mark_key(phone_of(one)) for one in house]
    assert len(set(keys)) == 3
    for client, key in zip(house, keys, strict=True):
        answer = post(client).content.decode()
        assert f'data-sign="{key}"' in answer
        assert [other for other in keys if other != key and other in answer] == []
    assert 'data-sign=""' in post(walled(house[0])).content.decode()


def test_whoever_may_tap_corrects_what_another_phone_entered_and_a_wall_does_not(house):
    keeper, painter, _ = house
    door = made_by(keeper)
    done = made_by(keeper, "step_done", door["on"], step="s1")
    assert posted(keeper, door, done) == ["kept", "kept"]
    fix = {"act": done["id"], "of": "step_done", "at_ms": done["at"] - 60_000}
    assert posted(painter, made_by(painter, "act_corrected", door["on"], **fix)) == ["kept"]
    wall = walled(keeper)
    (why,) = posted(wall, made_by(wall, "act_corrected", door["on"], **fix))
    assert "only look" in why
