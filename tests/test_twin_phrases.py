"""Twins say the same phrases, hints for translators and all: what is translated for one is translated for the other."""

import ast

import pytest

from shop import tongues
from tests import phrases
from tests.conftest import ROOT

RULES = sorted({path.stem for path in (ROOT / "timers/core").glob("[!_]*.py")} - {"tongue"})  # that looks phrases up


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
