"""The lanes of a panel: areas whose steps go on side by side.  Twin: static/js/core/clock/lanes.js

A lane is a panel of its own to the rules of clocks, cards and rings: the steps and the films of an area, of the whole
panel and of the spots on that area.  What a route or a person calls no area is the whole panel: there is no lane "the
rest", for nobody said that there is a rest.
"""

from typing import TypedDict

from ..base.states import PanelState, PanelStep
from ..fold import areas, finishing, panel, top_films
from .clock_step import NEEDS, clock_steps

MOST = 12  # lanes side by side; what comes later in the order waits for one of them


class Lane(TypedDict):
    area: str  # "" where the panel has one lane
    state: PanelState  # as much of the panel as the lane is about
    waits: list[PanelStep]  # what its next step waits for in other lanes; none where it can be done now


def lanes(state: PanelState) -> list[Lane]:
    """The lanes of a panel, those first that have a step to do now, in the order of their steps.

    Rule     a step of an area waits for the steps before it that are of that area, of a spot on it, of an area it is
             a spot of, or of the whole panel; one of the whole panel waits for all before it.  Where two steps can be
             done now, each is a lane; so is each other area with films that a step ahead needs a gate of, where no
             lane's next work is on it.  Otherwise the panel is one lane: a spot sent back holds all steps behind it
    Unit     none
    Holds    any folded panel
    Source   our own rule, in timers/DECISIONS.md
    Vectors  tests/vectors/lanes.json
    """
    now, named = open_steps(state), _named(state)
    if len(now) < 2 and not _unseen(named, [whole(state)]):
        return [whole(state)]
    found = [_lane(state, step["area"], []) for step in now]
    behind = [_lane(state, area, now) for area in _unseen(named, found)]
    found += [lane for lane in behind if clock_steps(lane["state"])][: MOST - len(found)]
    return found if len(found) > 1 else [whole(state)]


def whole(state: PanelState) -> Lane:
    """A panel as one lane."""
    return {"area": "", "state": state, "waits": []}


def open_steps(state: PanelState) -> list[PanelStep]:
    """The steps that can be done now: no step before them that is not done touches their area."""
    found: list[PanelStep] = []
    before: dict[str, None] = {}  # areas of the steps that are not done
    for step in finishing.steps(state):
        if step["done_at"] is None:
            if not any(areas.touch(step["area"], one) for one in before) and len(found) < MOST:
                found.append(step)
            before[step["area"]] = None
            if step["area"] == "":
                break
    return found


def of(state: PanelState, area: str) -> PanelState:
    """As much of a panel as the lane of an area is about; all of it where there is no such lane."""
    return next((lane["state"] for lane in lanes(state) if lane["area"] == area), state)


def tag(lane: Lane, films: list[str]) -> str:
    """What a lane adds to the keys of rings of these films: "" where they are of its own area, for the films name the
    lane then, and the key stays when lanes come together; else a mark of the area, FNV-1a of 32 bits."""
    under = set(films)
    own = [lane["area"] in areas.around(film["area"]) for film in lane["state"]["films"] if film["id"] in under]
    if all(own):
        return ""
    mark = 0x811C9DC5
    for sign in lane["area"]:
        mark = (mark ^ ord(sign)) * 0x01000193 & 0xFFFFFFFF
    return f"{mark:08x}:"


def _named(state: PanelState) -> list[str]:
    """The areas that films and steps ahead are of, as far as the next work on the whole panel; the widest first."""
    ahead = [step for step in state["steps"] if step["done_at"] is None]
    work = next((nth for nth, step in enumerate(ahead) if step["do"] in NEEDS and step["area"] == ""), len(ahead))
    found = dict.fromkeys(step["area"] for step in ahead[:work] if step["area"])
    if any(film["area"] for film in state["films"]):
        found |= dict.fromkeys(film["area"] for film in top_films.curing(state, "") if film["area"])
    return sorted(found, key=lambda area: len(areas.around(area)))


def _unseen(named: list[str], seen: list[Lane]) -> list[str]:
    """The areas that the next work of no lane is on: their films' clocks are not seen in it."""
    works = [(lane["area"], _area_of_work(lane["state"])) for lane in seen]
    found: list[str] = []
    for area in named:
        is_seen = any(areas.touch(area, one) and areas.touch(area, work) for one, work in works)
        if not is_seen and not any(areas.touch(area, one) for one in found) and len(found) < MOST:
            found.append(area)
    return found


def _area_of_work(state: PanelState) -> str:
    ahead = (step for step in state["steps"] if step["done_at"] is None and step["do"] in NEEDS)
    return next((step["area"] for step in ahead), "")


def part(state: PanelState, area: str) -> PanelState:
    """As much of a panel as an area is about: its steps and films, those of spots on it, those of what it lies on."""
    steps = [step for step in state["steps"] if areas.touch(step["area"], area)]
    films = [film for film in state["films"] if areas.touch(film["area"], area)]
    return {**state, "steps": steps, "films": films}


def _lane(state: PanelState, area: str, now: list[PanelStep]) -> Lane:
    view = part(state, area)
    step = panel.current(view) if now else None
    waits = [one for one in now if step and areas.touch(one["area"], step["area"])]
    return {"area": area, "state": view, "waits": waits}
