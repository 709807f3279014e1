"""The floor and the sync for other programs: as the served description says, checked against real answers."""

import json
import time

import pytest
from django.test import Client
from freezegun import freeze_time
from jsonschema import Draft202012Validator
from openapi_spec_validator import OpenAPIV31SpecValidator

from tests.shop.security.test_access import addresses, begun, post, tap, token_of
from timers.core.acts.envelope import new_id
from timers.core.base.units import DAY_MS
from timers.shops.demo import demo_shop

pytestmark = pytest.mark.django_db


def described() -> dict:
    answer = Client().get("/openapi.json")
    assert answer.headers["Content-Type"] == "application/json"
    return answer.json()


def follows(schema: str, value: object) -> None:
    """What is said is what the description promises."""
    whole = {"components": described()["components"], "$ref": f"#/components/schemas/{schema}"}
    checker = Draft202012Validator(whole, format_checker=Draft202012Validator.FORMAT_CHECKER)
    assert [f"{fault.json_path}: {fault.message}" for fault in checker.iter_errors(value)] == []


def asked(token: str, path: str = "/floor.json", **headers):
    return Client().get(path, headers={"Authorization": f"Bearer {token}", **headers})


@pytest.fixture
def demo(settings) -> str:
    """The token of a phone in the demo shop, with a cup beside the panels."""
    settings.OPEN_SHOP = True
    demo_shop("Europe/Vienna", time.time_ns() // 1_000_000)
    return token_of(begun())


def test_the_description_is_an_openapi_of_3_1():
    spec = described()
    assert spec["openapi"].startswith("3.1")
    assert [fault.message for fault in OpenAPIV31SpecValidator(spec).iter_errors()] == []


def test_every_address_and_every_example_in_it_is_real():
    spec = described()
    ours = {path for _, path in addresses()} | {"/live"}  # a stream stands beside Django: tests/shop/live/test_live.py
    assert set(spec["paths"]) <= ours
    for of_path in spec["paths"].values():
        for deed in of_path.values():
            for media in deed.get("requestBody", {}).get("content", {}).values():
                follows(media["schema"]["$ref"].rpartition("/")[2], media["example"])


def test_the_floor_is_told_in_words_and_clock_times(demo):
    answer = asked(demo)
    body = answer.json()
    assert answer.status_code == 200
    follows("Floor", body)
    assert len(body["cards"]) >= 5
    assert body["shop"]["zone"] == "Europe/Vienna"
    assert all(card["name"] and card["word"] for card in body["cards"])
    assert any(card["opens"] for card in body["cards"])


def test_the_floor_is_not_told_again_while_nothing_changed(demo):
    with freeze_time("2026-11-25 09:00"):
        tag = asked(demo).headers["ETag"]
        same(demo, tag)
    with freeze_time("2026-11-25 10:00"):
        assert asked(demo, **{"If-None-Match": tag}).status_code == 200


def same(demo: str, tag: str) -> None:
    for known in (tag, f"W/{tag}", f'"other", {tag}'):
        again = asked(demo, **{"If-None-Match": known})
        assert (again.status_code, again.content, again.headers["ETag"]) == (304, b"", tag)


def test_a_tap_changes_the_floor_at_once():
    client = begun()
    token = token_of(client)
    tag = asked(token).headers["ETag"]
    on = f"panel:{new_id(time.time_ns() // 1_000_000, b'0123456789')}"
    post(client, [tap(on, "panel_added", name="Hood", steps=[])])
    answer = asked(token, **{"If-None-Match": tag})
    assert [card["name"] for card in answer.json()["cards"]] == ["Hood"]


def test_a_panel_that_only_cures_is_told_beside_the_cards():
    client, now_ms = begun(), time.time_ns() // 1_000_000
    on = f"panel:{new_id(now_ms, b'0123456789')}"
    clear = {
        "name": "Clear",
        "cls": "clear",
        "gates": {"sand": [[200, 60_000, 60_000]], "cure": [[200, DAY_MS, DAY_MS]]},
    }
    steps = [{"id": "1", "do": "coat", "words": "Clear", "cls": "clear"}]
    post(client, [tap(on, "panel_added", name="Hood", steps=steps)])
    laid = tap(on, "film_laid", film="f1", step="1", product="p1", coat=1, sheet=clear)
    post(client, [laid])
    body = asked(token_of(client)).json()
    assert ([one["step"] for one in body["cards"]], body["curing"]) == (["Denib and polish"], [])
    post(client, [tap(on, "step_done", step="after.polish")])
    body = asked(token_of(client)).json()
    follows("Floor", body)
    assert (body["cards"], [one["step"] for one in body["curing"]]) == ([], ["First wash"])
    assert body["curing"][0]["say"].startswith("First wash from ")
    assert body["curing"][0]["why"].startswith("Brush, jet and shampoo")
    assert body["hands"].startswith("Hands free for ")


@pytest.mark.parametrize("token", ["", "none"])
def test_the_floor_is_told_to_nobody_else(token):
    answer = asked(token)
    assert (answer.status_code, answer.content.decode()) == (401, "This phone belongs to no shop here.")


def test_sync_answers_as_described_whether_acts_are_kept_or_not(demo):
    act = tap(temp_dc=187)
    acts = [act, act, tap(temp_dc=9000), {"id": 5}, tap(on="shop", kind="later")]
    answer = Client().post(
        "/sync",
        json.dumps({"cursor": 0, "acts": acts}),
        "application/json",
        headers={"Authorization": f"Bearer {demo}"},
    )
    body = answer.json()
    assert answer.status_code == 200
    follows("Heard", body)
    verdicts = [verdict["verdict"] for verdict in body["verdicts"]]
    assert verdicts == ["kept", "already kept", "refused", "refused", "kept"]
    assert body["fragments"]


def test_the_description_would_notice_a_wrong_answer():
    with pytest.raises(AssertionError):
        follows("Floor", {"shop": {}, "hands": "", "cards": []})
    with pytest.raises(AssertionError):
        follows("Verdict", {"id": None, "verdict": "refused"})
