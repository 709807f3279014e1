"""Twins say the same phrases, hints for translators and all: what is translated for one is translated for the other."""

import ast

import pytest

from shop import tongues
from tests import phrases
from tests.conftest import ROOT
from timers.core.doc import FORM

# What an act and a sheet must hold: rows of data in Python, checks in the twins, so the files do not go by pairs.
AS_ROWS = {"fields", "people", "doc", "figures", "schema", "conform", "relations"}
AS_CHECKS = {"fields", "people", "doc", "figures"}
RULES = sorted(
    {path.stem for path in (ROOT / "timers/core").glob("[!_]*.py")} - {"tongue", "shapes", "states"} - AS_ROWS
)


def of_rule(name: str) -> set:
    tree = ast.parse((ROOT / f"timers/core/{name}.py").read_text(encoding="utf-8"))
    found = set()
    for call in phrases.calls(tree):
        count = phrases.CALLS[call.func.id]
        texts = [one.value for one in call.args[:count] if isinstance(one, ast.Constant)]
        found |= {(*texts, None)[:2]} if len(texts) == count else set()
    return found


@pytest.mark.parametrize("name", RULES)
def test_a_twin_says_the_phrases_of_its_rule(name):
    twin = tongues.phrases_in((ROOT / f"static/js/core/{name}.js").read_text(encoding="utf-8"))
    assert set(twin) == of_rule(name)


def test_the_twins_of_the_rows_say_the_phrases_of_the_rows():
    twins = [tongues.said_by((ROOT / f"static/js/core/{name}.js").read_text(encoding="utf-8")) for name in AS_CHECKS]
    labels = {(row["label"], None) for row in FORM}  # the form's own script says them
    assert {one for twin in twins for one in twin} == set().union(*map(of_rule, AS_ROWS)) - labels
