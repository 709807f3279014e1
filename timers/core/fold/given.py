"""A step as an act gives it, and as a panel has it.  Twin: static/js/core/fold/given.js"""

from ..base.states import PanelStep
from ..base.step_shapes import GivenStep


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
    if step.get("use"):
        blank["use"] = step["use"]
    if step.get("needs"):
        blank["needs"] = step["needs"]
    if step.get("card"):
        blank["card"] = step["card"]
    if step.get("why"):
        blank["why"] = step["why"]
    return blank


def given(step: PanelStep, number: str, area: str, coats: int = 1) -> GivenStep:
    """The same step once more, with another number, on another area.

    Vectors  tests/vectors/given.json
    """
    again: GivenStep = {"id": number, "do": step["do"], "words": step["words"], "cls": step["cls"], "coats": coats}
    again["grit"], again["area"] = step["grit"], area
    if step.get("use"):
        again["use"] = step["use"]
    if step.get("needs"):
        again["needs"] = step["needs"]
    if step.get("card"):
        again["card"] = step["card"]
    if step.get("why"):
        again["why"] = step["why"]
    return again
