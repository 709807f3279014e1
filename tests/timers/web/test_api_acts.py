"""Kinds of acts in the served description: each with its fields, by the same rows as the rules."""

import json
import random

from django.test import Client
from jsonschema import Draft202012Validator

from tests.conftest import ROOT
from tests.random_logs import logs
from timers.core.acts import envelope
from timers.core.acts.act_schema import KINDS
from timers.core.acts.product_schema import PRODUCT, ROUTE
from timers.core.acts.relations import RULES
from timers.core.acts.schema import Field

# What a schema does not say: which number is larger, what is of what, how much fits into one act, when now is.
BEYOND_A_SCHEMA = {
    "This tap holds more words than can be kept.",
    "This tap says it happens more than two days from now. Set the phone's clock, then say when it was.",
    "Two steps carry the same number. Nothing was saved.",
    "The shorter time is longer than the longer one. Nothing was saved.",
    "The sheet's lines must rise in temperature. Nothing was saved.",
    "On this sheet warmer is slower. Check the lines. Nothing was saved.",
    "The lowest temperature must be below the highest. Nothing was saved.",
    "A ring may be put off for a day at the most. Nothing was saved.",
    "This ring is of something else. Nothing was saved.",
    "This correction changes nothing. Nothing was saved.",
    "It was within the last 30 days, and not later than now. Nothing was saved.",
    "A correction with a sheet says its product too, and which coat it is. Nothing was saved.",
}
SIGN = "has a sign that cannot be kept. Nothing was saved."


def schemas() -> dict:
    return Client().get("/openapi.json").json()["components"]["schemas"]


def checker() -> Draft202012Validator:
    return Draft202012Validator({"components": {"schemas": schemas()}, "$ref": "#/components/schemas/Act"})


def test_every_kind_of_act_is_described_and_no_other():
    assert {name for name in schemas() if name.startswith("Act_")} == {f"Act_{kind}" for kind in KINDS}


def test_fields_come_with_their_limits_and_units():
    said = schemas()
    temp, damp = (said["Act_air_read"]["properties"][key] for key in ("temp_dc", "rh_pm"))
    assert temp == {"type": "integer", "minimum": -400, "maximum": 600, "description": "The temperature, °C times 10"}
    assert {"type": "null"} in damp["anyOf"]
    assert said["Act_air_read"]["required"] == ["temp_dc"]
    reading = said["Reading"]["properties"]
    assert [(reading[key]["minimum"], reading[key]["maximum"]) for key in reading if key != "at"] == [
        (-40, 60),
        (0, 100),
    ]
    assert said["Step"]["properties"]["coats"]["maximum"] == 20
    assert said["Product"]["properties"]["film_um"]["anyOf"][0]["maximum"] == 3000
    assert said["Act_sheet_written"]["properties"]["doc"] == {"$ref": "#/components/schemas/Product"}
    assert said["Product"]["properties"]["gates"]["propertyNames"]["enum"][:2] == ["pot", "flash"]


def test_the_description_forbids_what_the_rules_refuse_and_nothing_else():
    follows = checker()
    groups = json.loads((ROOT / "tests/vectors/refusals.json").read_text(encoding="utf-8"))["groups"]
    cases = [case for group in groups for case in group["cases"]]
    for case in cases:
        act, why = case["args"][0], case["expect"]
        if why in BEYOND_A_SCHEMA or SIGN in why or _ends_in_a_new_line(act):
            continue
        assert follows.is_valid(act) == (not why), (case["id"], why)
    assert len(cases) > 150


def _ends_in_a_new_line(act: object) -> bool:
    """Python's `$` lets a last new line through; that of JSON Schema does not."""
    return isinstance(act, dict) and any(isinstance(one, str) and one.endswith("\n") for one in act.values())


def test_whatever_phones_make_follows_the_description():
    follows, rnd = checker(), random.Random(1)
    made = [act for _ in range(20) for act in logs.panel_log(rnd, 15) + logs.air_log(rnd, 3) + logs.product_log(rnd, 5)]
    made += [logs.twisted_act(rnd) for _ in range(300)]
    kept = [act for act in made if not envelope.refusal(act, logs.NOW_MS)]
    assert len(kept) > 100
    assert [act for act in kept if not follows.is_valid(act)] == []


def rows(fields: list[Field]) -> list[Field]:
    """Every row at any depth."""
    return [one for field in fields for one in (field, *rows(field["of"]))]


def test_every_row_can_be_kept_at_all_and_names_rules_that_are_there():
    found = [row for kind in KINDS.values() for row in rows(kind["fields"])] + rows(PRODUCT) + rows(ROUTE)
    assert {row["rule"] for row in found} - {""} == set(RULES)
    for row in found:
        assert row["least"] <= row["most"] or row["type"] == "box", row["key"]
        assert row["scale"] == 1 or row["unit"], row["key"]
        assert row["what"] or row["words"] or row["type"] == "rule", row["key"]
