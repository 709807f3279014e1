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
    coated: str | None  # the area of a coat or fill that follows a clean or check step: its window shuts for both


def clock_step(state: PanelState) -> ClockStep | None:
    """The first step not done that needs a gate which the films under it have, or None.

    Rule     nothing is looked for behind the next sand, fill or coat: it ends the clocks of the films it works on.  A
             clean or check step that does not say what it needs waits with a sand step that follows (nobody puts guide
             coat on, or feels, a wet film), and before a coat or fill needs nothing.  One that needs a gate of its own
             before a coat or fill (masking) must be done within that coat's window
    Unit     none
    Holds    any folded panel; steps folded before they could say what they need
    Source   our own rule
    Vectors  tests/vectors/times.json
    """
    ahead = [step for step in state["steps"] if step["done_at"] is None]
    films: dict[str, list[Film]] = {}
    for nth, work in enumerate(ahead):
        need, area = need_of(work), work["area"]
        if need and area not in films:
            films[area] = panel.under(state, area)
        if need and any(any(gates_for(film["sheet"], need)) for film in films[area]):
            with_it = [step for step in ahead[:nth] if not step.get("needs")] if work["do"] == "sand" else []
            step = next(iter(with_it), work)
            coated = None if work["do"] in NEEDS else _coated(ahead[nth + 1 :])
            return {"step": step, "need": need, "area": area, "own": step is ahead[0], "coated": coated}
        if work["do"] in NEEDS:
            return None
    return None


def _coated(steps: list[PanelStep]) -> str | None:
    """The area of the next work, where that is a coat or fill that goes by its window."""
    work = next((step for step in steps if step["do"] in NEEDS), None)
    return work["area"] if work and need_of(work) == "flash" else None


def need_of(step: PanelStep) -> str:
    """The gate that a step needs: as it says, else by what it does; "" for none."""
    need = step.get("needs") or NEEDS.get(step["do"], "")
    return "" if need == "nothing" else need


def gates_for(sheet: Sheet, need: str) -> tuple[str, str]:
    """The gates of a sheet that open and shut what is needed, "" where it has none."""
    gates = sheet["gates"]
    opener = need if need in gates else "sand" if need == "flash" and "sand" in gates else ""
    return opener, "recoat_by" if need == "flash" and "recoat_by" in gates else ""
