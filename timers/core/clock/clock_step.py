"""The steps that a panel's clocks are for.  Twin: static/js/core/clock/clock_step.js"""

from typing import TypedDict

from ..base.shapes import Sheet
from ..base.states import Film, PanelState, PanelStep
from ..fold import finishing, top_films

ALWAYS_SANDED = ("putty",)  # a filler is never coated as it is, so nothing shuts
NEEDS = {"sand": "sand", "coat": "flash", "fill": "flash"}  # what a step works on ends the film's clock


class ClockStep(TypedDict):
    step: PanelStep  # what is waited for, as its words say it
    need: str  # the gate: "flash", "sand", "handle", "cure"
    area: str  # whose films are waited for
    own: bool  # the current step waits; else it needs nothing and can be done meanwhile
    work: bool  # a sand, fill or coat waits, and whatever stands before it; else a clean or check step does
    coated: str | None  # the area of a coat or fill that follows a clean or check step: its window shuts for both


def clock_step(state: PanelState) -> ClockStep | None:
    """The first step not done that needs a gate which the films under it have, or None."""
    return next(iter(clock_steps(state)), None)


def clock_steps(state: PanelState) -> list[ClockStep]:
    """The steps not done that need a gate which the films under them have: the first, and behind it the clean and check
    steps that need another gate of them.

    Rule     nothing is looked for behind the next sand, fill or coat: it ends the clocks of the films it works on.  A
             clean or check step that does not say what it needs waits with a sand step that follows (nobody puts guide
             coat on, or feels, a wet film), and before a coat or fill needs nothing.  One that needs a gate of its own
             before a coat or fill (masking) must be done within that coat's window
    Unit     none
    Holds    any folded panel; steps folded before they could say what they need
    Source   our own rule
    Vectors  tests/vectors/times.json
    """
    ahead = [step for step in finishing.steps(state) if step["done_at"] is None]
    films: dict[tuple[str, bool], list[Film]] = {}
    found: list[ClockStep] = []
    for nth, work in enumerate(ahead):
        need, area, is_work = need_of(work), work["area"], work["do"] in NEEDS
        key = (area, need == "cure")
        if need and key not in films:
            films[key] = films_for(state, area, need)
        is_new = not any((one["need"], one["area"]) == (need, area) for one in found)
        has_gate = need and any(any(gates_for(film["sheet"], need)) for film in films[key])
        if has_gate and is_new and not (found and is_work):
            with_it = [step for step in ahead[:nth] if not step.get("needs")] if work["do"] == "sand" else []
            step = next(iter(with_it), work)
            coated = None if is_work else _coated(ahead[nth + 1 :])
            own = step is ahead[0]
            found.append({"step": step, "need": need, "area": area, "own": own, "work": is_work, "coated": coated})
        if is_work:
            break
    return found


def films_for(state: PanelState, area: str, need: str) -> list[Film]:
    """The films whose gate a step on an area waits for: a film that was sanded still cures."""
    films = top_films.curing(state, area) if need == "cure" else top_films.under(state, area)
    return [finishing.completed(film) for film in films]


def is_curing(state: PanelState) -> bool:
    """Whether all that is left to do on a panel waits for its films to cure: it needs no place on the floor.

    Rule     every step that is not done needs `cure`, and a film under the first of them has that gate
    Unit     none
    Holds    any folded panel
    Source   our own rule
    Vectors  tests/vectors/finishing.json
    """
    ahead = [step for step in finishing.steps(state) if step["done_at"] is None]
    clock = clock_step(state)
    return all(need_of(step) == "cure" for step in ahead) and clock is not None and clock["own"]


def is_untimed(state: PanelState, step: PanelStep) -> bool:
    """Whether a step says that it needs a gate which no sheet of the films under it gives a time for."""
    need = need_of(step) if step.get("needs") else ""
    films = films_for(state, step["area"], need) if need else []
    return bool(films) and not any(any(gates_for(film["sheet"], need)) for film in films)


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
    shuts = need == "flash" and "recoat_by" in gates and sheet.get("cls") not in ALWAYS_SANDED
    return opener, "recoat_by" if shuts else ""
