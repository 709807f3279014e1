"""The films that lie on top of a panel.  Twin: static/js/core/fold/top_films.js"""

from ..base.states import Film, PanelState
from . import areas


def under(state: PanelState, area: str) -> list[Film]:
    """The films that matter to work on an area ('' is the whole panel): not covered by a later one, not sanded."""
    return _bare(state, area, True)


def curing(state: PanelState, area: str) -> list[Film]:
    """The films that still cure: not covered by a later one, sanded or not."""
    return _bare(state, area, False)


def _bare(state: PanelState, area: str, is_sanding_an_end: bool) -> list[Film]:
    bare: list[Film] = []
    over: set[str] = set()  # areas of the films that were laid later
    wide = areas.around(area)
    for film in reversed(state["films"]):
        if areas.touch(film["area"], area):
            sanded = film["sanded"] if is_sanding_an_end else []
            if not any(one in over or one in sanded for one in (*areas.around(film["area"]), *wide)):
                bare.append(film)
            over.add(film["area"])
    return list(reversed(bare))
