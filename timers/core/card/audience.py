"""Whose a ring is, for phones that ring only for their own.  Twin: static/js/core/card/audience.js"""

from ..base.states import CupState, PanelState


def panels_of(state: PanelState | CupState) -> list[str]:
    """The panels that a cup is meant for or went on, each once; of a panel none."""
    if "mixed_at" not in state:
        return []
    panels = [*state.get("for", []), *(panel for panel, _ in state.get("used", []))]
    return list(dict.fromkeys(panels))


def whose(state: PanelState | CupState, panels: list[PanelState]) -> list[str] | None:
    """The phones a thing's rings are for, or None for every phone.

    Rule     a panel's for whoever took it or was handed it, for all while nobody has it; a cup's for the phone that
             mixed it and for whoever has one of its panels, for all while nobody has one of them or nobody knows who
             mixed it
    Unit     ids of phones
    Holds    any folded panel or mixed cup; panels: the states of the panels of `panels_of`, those not known left out
    Source   our own rule: a ring may come once too often, never not at all
    Vectors  tests/vectors/mine.json
    """
    if "mixed_at" not in state:
        taken = state.get("taken")
        return [taken["by"]] if taken else None
    mixer = state.get("who")
    takers = [one.get("taken") for one in panels if one.get("added_at") is not None]
    phones = [taken["by"] for taken in takers if taken]
    if mixer is None or len(phones) < len(takers):
        return None
    return list(dict.fromkeys([mixer, *phones]))


def is_mine(phones: list[str] | None, phone: str) -> bool:
    """Whether rings for these phones ring on a phone that rings only for its own."""
    return phones is None or phone in phones
