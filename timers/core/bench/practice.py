"""What practice says against laying a product on what lies under it.  Said as a caution, never a lock.

Twin: static/js/core/bench/practice.js
"""

from typing import NotRequired, TypedDict

from ..base.states import Film, PanelState, PanelStep
from ..base.translate import later, t
from ..fold import top_films

FILLERS = ("putty", "sprayputty")
ON_METAL = ("putty", "epoxy", "etch", "promoter", "seam")  # what goes on bare metal, or is for no metal at all
FOR_METAL = "spot"  # the use of what is made for bare metal
NOT_METAL = ("plastic",)
LEAST_P = {"waterbase": 800}  # the coarsest paper before it, where its sheet names none
WORDS = {
    "filler on etch": later("No filler on acid etch primer: it stays soft and lifts there. Sand the etch off first."),
    "epoxy on etch": later(
        "No epoxy primer on acid etch: it does not hold. Sand the etch off, or go on without epoxy."
    ),
    "filler follows": later("A filler step follows: no filler on acid etch. Epoxy primer may lie under filler."),
    "epoxy follows": later("An epoxy step follows: no epoxy primer on acid etch. Lay one of the two."),
    "bare metal": later("Where sanding went through to metal, spot prime it first: bare metal rusts under this."),
    "paper": later("Last sanded with P{grit}: the sheet asks for P{wanted} before it."),
    "water": later("Last sanded with P{grit}: waterborne shows marks coarser than P{wanted}."),
}


class Laid(TypedDict):
    """As much of a product as the rules look at."""

    cls: str
    uses: NotRequired[list[str]]
    before_p: NotRequired[int | None]


def against(state: PanelState, step: PanelStep, product: Laid, substrate: str = "") -> list[str]:
    """What speaks against laying a product at a step, by what was done to its area before and what is to follow.

    Rule     no filler and no epoxy on etch, nor etch where one of them follows; a coat that is not made for metal, on
             what was sanded since the last film, asks for a spot prime; the last paper not coarser than the sheet asks
             for, before waterborne P800
    Unit     P grits
    Holds    any folded panel; substrate "" for what was chosen for the panel; plastic is no metal
    Source   common practice, no source
    Vectors  tests/vectors/practice.json
    """
    films = top_films.under(state, step["area"])
    found = _etch(state, step, product["cls"], films)
    sanded = _sanded_since(state, step["area"], films)
    if not sanded:
        return found
    substrate = substrate or state.get("choices", {}).get("substrate", "")
    made_for_it = product["cls"] in ON_METAL or FOR_METAL in product.get("uses", [])
    if not made_for_it and substrate not in NOT_METAL:
        found.append(t(WORDS["bare metal"]))
    return found + _paper(product, sanded[-1]["grit"])


def _etch(state: PanelState, step: PanelStep, cls: str, films: list[Film]) -> list[str]:
    on_etch = any(film["sheet"]["cls"] == "etch" for film in films)
    if on_etch and cls in FILLERS:
        return [t(WORDS["filler on etch"])]
    if on_etch and cls == "epoxy":
        return [t(WORDS["epoxy on etch"])]
    if cls != "etch":
        return []
    ahead = [one for one in state["steps"] if one["done_at"] is None and one["id"] != step["id"]]
    ahead = [one for one in ahead if step["area"] in ("", one["area"]) or not one["area"]]
    next_lay = next((one for one in ahead if one["do"] in ("fill", "coat")), None)
    if next_lay is None:
        return []
    if next_lay["cls"] in FILLERS:
        return [t(WORDS["filler follows"])]
    return [t(WORDS["epoxy follows"])] if next_lay["cls"] == "epoxy" else []


def _sanded_since(state: PanelState, area: str, films: list[Film]) -> list[PanelStep]:
    """The steps that sanded an area after its newest film."""
    newest = max((film["laid_at"] for film in films), default=-1)
    sands = [one for one in state["steps"] if one["do"] == "sand" and one["area"] in ("", area)]
    return [one for one in sands if one["done_at"] is not None and one["done_at"] > newest]


def _paper(product: Laid, grit: int) -> list[str]:
    own = product.get("before_p")
    wanted = own or LEAST_P.get(product["cls"], 0)
    if not grit or grit >= wanted:
        return []
    return [t(WORDS["paper" if own else "water"], grit=grit, wanted=wanted)]
