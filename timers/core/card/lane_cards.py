"""A panel's card with a part for each lane that is open at once.  Twin: static/js/core/card/lane_cards.js

A panel of one lane has the plain face of `panel_card`; of several the most urgent lane has the card's main part, and
the others stand below it.
"""

from typing import NotRequired, cast

from ..base import words
from ..base.shapes import Trace, Zone
from ..base.states import FloorRow, PanelCard, PanelState, PanelStep, PanelTimes, PhoneName
from ..base.translate import t
from ..clock import lanes
from ..clock.clock_step import clock_step
from ..clock.lanes import Lane
from ..fold import areas, duplicates, panel
from . import panel_card
from .floor_order import QUIET, floor_order
from .panel_card import CLOSING, FINISHED, FREE, OPENS, SHUT

MEANWHILE = ("scuff", "ready", "notyet")  # what can be done of a lane whose next step waits for others


class LaneCard(PanelCard):
    """The part of a lane: a face, and which lane it is."""

    lane: str  # the area
    area: str  # in words
    at: str  # the id of the step that its buttons are about
    waits: str  # what its next step waits for in other lanes, in words


class LanesCard(LaneCard):
    lanes: NotRequired[list[LaneCard]]  # the others, the most urgent first


def card(
    state: PanelState,
    times: PanelTimes,
    trace: Trace,
    now_ms: int,
    zone: Zone,
    unit: str = "c",
    phones: dict[str, PhoneName] | None = None,
    own: str = "",
) -> PanelCard | LanesCard:
    """All that a panel's card shows, of each of its lanes.

    Rule     what can be done now or is about to be too late, then what waits for its film, then what waits for other
             lanes, each in the order of the floor; a lane that waits for others and has no moment ahead is left out
    Unit     as `panel_card.face`
    Holds    any folded panel with the times reckoned from it (film.times)
    Source   our own rule
    Vectors  tests/vectors/lane_cards.json
    """
    if "lanes" not in times:
        return panel_card.face(state, times, trace, now_ms, zone, unit, phones, own)
    faces: list[tuple[LaneCard, PanelTimes]] = []
    for lane, one in zip(lanes.lanes(state), times["lanes"], strict=True):
        stands = {**lane, "state": _at_its_clock(lane["state"])} if lane["waits"] else lane
        face = panel_card.face(stands["state"], one, trace, now_ms, zone, unit, phones, own)
        faces.append((_of_lane(face, stands, one, now_ms, zone), one))
    shown = [(face, one) for face, one in faces if _is_of_use(face, one)]
    first, *others = [shown[int(row["id"])][0] for row in _in_order(shown)]
    return {**first, "lanes": others, **duplicates.asked(state, now_ms, zone)}


def rows(on: str, added_at: int | None, times: PanelTimes, card: PanelCard | LanesCard, curing: bool) -> list[FloorRow]:
    """What the order of the floor and the line for the hands go by: a row for each lane that hands can work on, or
    whose window is about to shut or has shut.  The panel stands where the first of its rows does."""
    clocks = {one.get("area"): one for one in times.get("lanes", [])}
    faces = [card, *cast(LanesCard, card).get("lanes", [])]
    due = [cast(LaneCard, one) for one in faces if not one.get("waits") or one["state"] in (CLOSING, SHUT)]
    return [_row(on, added_at, clocks.get(one.get("lane"), times), one, curing) for one in due]


def _of_lane(face: PanelCard, lane: Lane, times: PanelTimes, now_ms: int, zone: Zone) -> LaneCard:
    """A face in the words of its lane: the area stands above it, so its steps do not say it again."""
    step, waits = panel.current(lane["state"]), lane["waits"]
    bare = {**step, "area": ""} if step and step["area"] == lane["area"] else step
    part: LaneCard = {
        **face,
        "step": panel_card.step_words(bare),
        "lane": lane["area"],
        "area": areas.words(lane["area"]),
        "at": step["id"] if step else "",
        "waits": _waits(waits),
    }
    part.pop("twice", None)
    if not waits:
        return part
    part["buttons"] = [one for one in part["buttons"] if one in MEANWHILE]
    if face["state"] in (OPENS, CLOSING) and times["shuts_at"] is not None:
        part["say"] = t("Its window shuts {time}", time=words.shuts(times["shuts_at"], now_ms, zone))
    return part


def _at_its_clock(state: PanelState) -> PanelState:
    """A lane that waits for others, as if it stood at the step that its clock is for: those before it wait anyway."""
    clock, steps = clock_step(state), state["steps"]
    at = next((nth for nth, step in enumerate(steps) if clock and step["id"] == clock["step"]["id"]), 0)
    passed: list[PanelStep] = [{**step, "done_at": step["done_at"] or 0} for step in steps[:at]]
    return {**state, "steps": passed + steps[at:]}


def _is_of_use(face: LaneCard, times: PanelTimes) -> bool:
    """Whether a lane can be worked on, or has a moment ahead, or a film to try, or a window that shuts."""
    if not face["waits"] or face.get("then"):
        return True
    return times["shuts_at"] is not None if face["state"] == OPENS else face["state"] not in (FREE, FINISHED)


def _in_order(shown: list[tuple[LaneCard, PanelTimes]]) -> list[FloorRow]:
    order = [_row(f"{nth:02d}", None, times, face, False) for nth, (face, times) in enumerate(shown)]
    ranks = {row["id"]: _rank(face) for row, (face, _) in zip(order, shown, strict=True)}
    return [row for rank in range(3) for row in floor_order(order) if ranks[row["id"]] == rank]


def _rank(face: LaneCard) -> int:
    """What can be done now, or is about to be too late; what waits for its film; what waits for other lanes."""
    if face["state"] in (CLOSING, SHUT):
        return 0
    return 2 if face["waits"] else 1 if face["state"] in QUIET else 0


def _row(on: str, added_at: int | None, times: PanelTimes, face: PanelCard | LaneCard, curing: bool) -> FloorRow:
    return {
        "id": on,
        "name": ", ".join(str(part) for part in (face["name"], face.get("area")) if part),
        "added_at": added_at,
        "mode": face["state"],
        "step": face["step"],
        "say": face["say"],
        "opens_at": times["opens_at"],
        "shuts_at": times["shuts_at"],
        "ask_at": times["ask_at"],
        "curing": curing,
    }


def _waits(steps: list[PanelStep]) -> str:
    return t("Waits for: {what}", what="; ".join(panel_card.step_words(step) for step in steps)) if steps else ""
