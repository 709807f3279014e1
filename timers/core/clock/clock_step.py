"""The step that a panel's clock is for.  Twin: static/js/core/clock/clock_step.js"""

from typing import TypedDict

from ..base.shapes import Sheet
from ..base.states import Film, PanelState, PanelStep
from ..fold import panel

NEEDS = {"sand": "sand", "coat": "flash", "fill": "flash"}  # what a step works on ends the film's clock


class ClockStep(TypedDict):
    step: PanelStep  # what is waited for, as its words say it
    need: str  # the gate: "flash", "sand", "handle", "cure"
    area: str  # whose films are waited for
    own: bool  # the current step waits; else it needs nothing and can be done meanwhile


def clock_step(state: PanelState) -> ClockStep | None:
    """The first step not done that needs a gate which the films under it have, or None.

    Rule     nothing is looked for behind the next sand, fill or coat: it ends the clocks of the films it works on.  A
             clean or check step that does not say what it needs waits with a sand step that follows (nobody puts guide
             coat on, or feels, a wet film), and before a coat or fill needs nothing
    Unit     none
    Holds    any folded panel; steps folded before they could say what they need
    Source   our own rule
    Vectors  tests/vectors/times.json
    """
    ahead = [step for step in state["steps"] if step["done_at"] is None]
    films: dict[str, list[Film]] = {}
    for nth, step in enumerate(ahead):
        need, area = need_of(ahead, nth)
        if need and area not in films:
            films[area] = panel.under(state, area)
        if need and any(any(gates_for(film["sheet"], need)) for film in films[area]):
            return {"step": step, "need": need, "area": area, "own": nth == 0}
        if step["do"] in NEEDS:
            return None
    return None


def need_of(steps: list[PanelStep], nth: int) -> tuple[str, str]:
    """The gate that a step needs ("" for none) and the area whose films it waits for."""
    step = steps[nth]
    need, area = step.get("needs", ""), step["area"]
    if need or step["do"] in NEEDS:
        return "" if need == "nothing" else need or NEEDS[step["do"]], area
    work = next((at for at in range(nth + 1, len(steps)) if steps[at]["do"] in NEEDS), None)
    return need_of(steps, work) if work is not None and steps[work]["do"] == "sand" else ("", area)


def gates_for(sheet: Sheet, need: str) -> tuple[str, str]:
    """The gates of a sheet that open and shut what is needed, "" where it has none."""
    gates = sheet["gates"]
    opener = need if need in gates else "sand" if need == "flash" and "sand" in gates else ""
    return opener, "recoat_by" if need == "flash" and "recoat_by" in gates else ""
