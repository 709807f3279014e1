"""A step as an act gives it, and as a panel has it.  Twin: static/js/core/fold/given.js"""

from typing import Literal

from ..base.states import PanelStep
from ..base.step_shapes import GivenStep

OPTIONAL: tuple[Literal["use", "needs", "card", "why"], ...] = ("use", "needs", "card", "why")


def fresh(step: GivenStep) -> PanelStep:
    """A step as given in an act, with what happens to it still blank; its use, card, need and reason only where told.

    Vectors  tests/vectors/given.json, panel.json
    """
    blank: PanelStep = {
        "id": step["id"],
        "do": step["do"],
        "words": step["words"],
        "cls": step.get("cls", ""),
        "coats": step.get("coats", 1),
        "grit": step.get("grit", 0),
        "area": step.get("area", ""),
        "laid": 0,
        "done_at": None,
    }
    _only_where_told(step, blank)
    return blank


def given(step: PanelStep, number: str, area: str, coats: int = 1) -> GivenStep:
    """The same step once more, with another number, on another area.

    Vectors  tests/vectors/given.json
    """
    again: GivenStep = {"id": number, "do": step["do"], "words": step["words"], "cls": step["cls"], "coats": coats}
    again["grit"], again["area"] = step["grit"], area
    _only_where_told(step, again)
    return again


def _only_where_told(step: GivenStep | PanelStep, copy: GivenStep | PanelStep) -> None:
    """Puts into a copy of a step what it need not say: its use, card, need and reason."""
    for key in OPTIONAL:
        if step.get(key):
            copy[key] = step[key]
