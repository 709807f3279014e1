"""Twins say the same phrases, hints for translators and all: what is translated for one is translated for the other."""

import ast

from shop.base import i18n, scripts
from tests import phrases
from tests.conftest import ROOT
from tests.support import core_modules
from tests.support.each import each

# What an act and a sheet must hold: rows of data, which the phone gets as one script that is made of them.
ROWS = {"act_schema", "people", "product_schema", "route_schema", "figures", "schema"}
RULES = sorted(
    {path.stem for path in (ROOT / "timers/core").glob("*/[!_]*.py")}
    - {"translate", "shapes", "step_shapes", "states"}
    - ROWS
)
SIGNS = {"°C", "%", "µm", "min", "g", "ml", "mm", "kPa"}  # units that are the same in every tongue


def of_rule(name: str) -> set:
    tree = ast.parse(core_modules.source(name).read_text(encoding="utf-8"))
    found = set()
    for call in phrases.calls(tree):
        count = phrases.CALLS[call.func.id]
        texts = [one.value for one in call.args[:count] if isinstance(one, ast.Constant)]
        found |= {(*texts, None)[:2]} if len(texts) == count else set()
    return found


@each("name", RULES)
def test_a_twin_says_the_phrases_of_its_rule(name):
    twin = i18n.phrases_in(core_modules.script(name).read_text(encoding="utf-8"))
    assert set(twin) == of_rule(name)


def test_the_script_of_the_rows_says_the_phrases_of_the_rows():
    made = {one for one in i18n.phrases_in(scripts.text("core/acts/schema.js")) if one[0] not in SIGNS}
    assert made == set().union(*map(of_rule, ROWS))
