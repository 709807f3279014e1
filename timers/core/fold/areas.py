"""Areas of a panel, and which lies within which.  Twin: static/js/core/fold/areas.js

An area is called as a route or a person called it; "" is the whole panel.  A spot on an area with a name of its own is
called by both, "Outside › low spot": what follows on the outside waits for the spot, the underside does not.
"""

from ..base.states import PanelStep

INTO = " › "


def around(area: str) -> list[str]:
    """The areas that an area lies within: the whole panel first, itself last."""
    parts = area.split(INTO) if area else []
    return ["", *(INTO.join(parts[: nth + 1]) for nth in range(len(parts)))]


def touch(one: str, two: str) -> bool:
    """Whether work on one area is work on the other: one lies within the other.

    Rule     the whole panel touches every area, an area itself and every spot on it; two others lie side by side
    Unit     none
    Holds    any two areas
    Source   our own rule
    Vectors  tests/vectors/areas.json
    """
    return "" in (one, two) or one == two or one.startswith(two + INTO) or two.startswith(one + INTO)


def on(outer: str, spot: str) -> str:
    """What a spot on an area is called."""
    return f"{outer}{INTO}{spot}" if outer and spot else outer or spot


def spots(steps: list[PanelStep]) -> list[str]:
    """The areas that are small: spots on a side, and areas that were sent back; a side of the panel is none.

    Rule     it lies on another area, or a step of it stands before it in the same words on what it lies on
    Unit     none
    Holds    the steps of a folded panel
    Source   our own rule
    Vectors  tests/vectors/areas.json
    """
    found: dict[str, None] = {}
    seen: set[tuple[str, str, str, str]] = set()
    for step in steps:
        area, what = step["area"], (step["do"], step["words"], step["cls"])
        if INTO in area or any((wider, *what) in seen for wider in around(area)[:-1]):
            found[area] = None
        seen.add((area, *what))
    return list(found)


def words(area: str) -> str:
    """An area as a person reads it: "Outside, low spot"."""
    return ", ".join(area.split(INTO))
