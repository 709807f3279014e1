"""What a card says and offers beside the clock of its step.  Twin: static/js/core/card/aside.js

Why it waits, what opens next, what is under it, that it may not be needed, that the colour may not hide yet.
"""

from ..base import words
from ..base.shapes import Zone
from ..base.states import CardAside, PanelState, PanelStep, PanelTimes
from ..base.translate import t
from ..fold import finishing, panel
from ..fold.rework import IF_NEEDED, LAYS
from .ground import caution

HIDING = ("base", "topcoat")  # uses of coats that go on until they hide; a drop coat is none


def aside(state: PanelState, times: PanelTimes, now_ms: int, zone: Zone) -> CardAside:
    """The lines below the clock: why the step waits, what to mind on what is under it, and what opens next behind the
    one that the clock is for: "Then: Refit from 18:00"."""
    step, told = panel.current(state), CardAside()
    if step and step.get("why"):
        told["why"] = step["why"]
    if step and (minded := caution(state, step)):
        told["ground"] = minded
    waits = [one for one in times.get("later", []) if one["opens_at"] is not None and not one["ready"]]
    moments = [(max(one["opens_at"] or 0, one["ask_at"] or 0), one.get("step")) for one in waits]
    at, step_id = min((one for one in moments if one[0] > now_ms), key=lambda one: one[0], default=(0, None))
    if at:
        what = next(one["words"] for one in finishing.steps(state) if one["id"] == step_id)
        told["then"] = t("Then: {what} from {time}", what=what, time=words.opens(at, now_ms, zone))
    return told


def more_buttons(state: PanelState, step: PanelStep | None) -> list[str]:
    """What a card offers beside what its step is for.

    Rule     "skip" where a film is laid only where it is needed, and none of it lies yet; "more", one more coat of the
             colour that was laid last, while nothing lies over it
    Unit     none
    Holds    any folded panel and its current step
    Source   our own rule
    Vectors  tests/vectors/aside.json
    """
    if step is None or step["laid"]:
        return []
    skip = ["skip"] if step["do"] in LAYS and step.get("use") in IF_NEEDED else []
    return [*skip, *(["more"] if colour_before(state, step) else [])]


def colour_before(state: PanelState, step: PanelStep) -> PanelStep | None:
    """The coat of colour that is the last work before a step of its area, where one was laid."""
    own = [one for one in state["steps"] if one["area"] == step["area"]]
    before = own[: own.index(step)][-1:] if step in own else []
    return next((one for one in before if one.get("use") in HIDING and one["laid"]), None)
