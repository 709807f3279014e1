"""What was silenced or put off of a thing's rings: state["quiet"] = {ring: ms or None}.

Twin: static/js/core/fold/silence.js

A ring that was put off rings again under a key of its own, so that phones that told it once tell it again.
"""

from ..base.shapes import Act
from ..base.states import CupState, PanelState

AGAIN = " again "


def silenced(state: PanelState | CupState, act: Act) -> None:
    """A ring silenced for good."""
    state["quiet"][first(act["ring"])] = None


def snoozed(state: PanelState | CupState, act: Act) -> None:
    """A ring put off until a moment."""
    state["quiet"][first(act["ring"])] = act["until_ms"]


def first(key: str) -> str:
    """The key under which a ring rang first."""
    return key.split(AGAIN)[0]


def later(key: str, until_ms: int) -> str:
    """The key of a ring that was put off."""
    return f"{key}{AGAIN}{until_ms}"
