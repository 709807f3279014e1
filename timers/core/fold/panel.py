"""A panel folded from its acts: steps, films, what is done.  Twin: static/js/core/fold/panel.js

Folding never fails: an act that fits nothing (a step that was dropped, a film that was undone) changes nothing, and
any set of checked acts gives the same panel whatever order they arrived in.
"""

from collections.abc import Callable
from typing import cast

from ..base import corrections
from ..base.shapes import Act, FilmLaid, Ordered, StepAdded, Surface
from ..base.states import Film, PanelState, PanelStep
from ..base.step_shapes import GivenStep
from . import areas, duplicates, finishing, silence
from .given import fresh
from .order import standing


def fold(acts: list[Act]) -> PanelState:
    """The panel as its standing acts make it.

    Rule     `panel_added` first wherever it stands in time (a phone's clock may have been behind), the rest in order
    Unit     ms since 1970 UTC
    Holds    any checked acts of one panel
    Source   our own rules, in timers/DECISIONS.md
    Vectors  tests/vectors/panel.json
    """
    acts = corrections.steps_first(standing(acts))
    births = [act for act in acts if act["kind"] == "panel_added"][:1]
    state, index = _blank(), _Index()
    for act in births + [act for act in acts if act["kind"] != "panel_added"]:
        if act["kind"] in _RULES:  # a kind that this version does not know is ignored
            _RULES[act["kind"]](state, act)
        elif act["kind"] in _INDEXED:
            _INDEXED[act["kind"]](state, act, index)
    state["steps"] = [index.steps[step_id] for step_id in index.order]
    duplicates.put_in_order(state["films"])
    return state


def current(state: PanelState) -> PanelStep | None:
    """The first step not done, or None when all are."""
    return next((step for step in finishing.steps(state) if step["done_at"] is None), None)


class _Index:
    """What a fold looks up again and again, so that many acts cost no more each than few."""

    def __init__(self) -> None:
        self.steps: Ordered[str, PanelStep] = {}
        self.order: list[str] = []  # ids of the steps as they follow each other
        self.films: Ordered[str, list[Film]] = {}  # a film told of twice stands twice
        self.sanded: Ordered[str, int] = {}  # of an area: how many films there were when it was sanded last

    def put_in(self, steps: list[GivenStep], before: str | None) -> None:
        """New steps before the named one; at the end when there is no such step."""
        new = [step for step in steps if step["id"] not in self.steps]
        self.place([step["id"] for step in new], before)
        for step in new:
            self.steps[step["id"]] = fresh(step)

    def place(self, ids: list[str], before: str | None) -> None:
        at = self.order.index(before) if before is not None and before in self.steps else len(self.order)
        self.order[at:at] = ids

    def films_of(self, act: Act) -> list[Film]:
        return [film for film_id in act["films"] for film in self.films.get(film_id, [])]


def _blank() -> PanelState:
    return {
        "name": "",
        "job": "",
        "added_at": None,
        "away_at": None,
        "steps": [],
        "films": [],
        "surfaces": [],
        "quiet": {},
        "taken": None,
    }


def _added(state: PanelState, act: Act, index: _Index) -> None:
    _named(state, act)
    state["added_at"] = act["at"]
    index.put_in(act["steps"], None)


def _named(state: PanelState, act: Act) -> None:
    state["name"], state["job"] = act["name"], act.get("job", "")
    if "choices" in act:
        state["choices"] = {**state.get("choices", {}), **act["choices"]}


def _step_added(state: PanelState, act: Act, index: _Index) -> None:
    index.put_in([cast(StepAdded, act)["step"]], act.get("before"))


def _step_dropped(state: PanelState, act: Act, index: _Index) -> None:
    step_id = cast(str, act["step"])
    if step_id in index.steps:
        index.steps.pop(step_id)
        index.order.remove(step_id)
    elif step_id in finishing.IDS:
        state.setdefault("after", {})[step_id] = None  # for good: a later word on it changes nothing


def _step_moved(state: PanelState, act: Act, index: _Index) -> None:
    step_id = cast(str, act["step"])
    if step_id in index.steps and act.get("before") != step_id:
        index.order.remove(step_id)
        index.place([step_id], act.get("before"))


def _sent_back(state: PanelState, act: Act, index: _Index) -> None:
    index.put_in(act["steps"], act.get("before"))


def _film_laid(state: PanelState, act: Act, index: _Index) -> None:
    laid = cast(FilmLaid, act)
    film: Film = {
        "id": laid["film"],
        "step": laid.get("step"),
        "area": laid.get("area", ""),
        "coat": laid["coat"],
        "laid_at": laid["at"],
        "product": laid["product"],
        "sheet": laid["sheet"],
        "sanded": [],
        "ready": [],
        "ask": {},
        "who": laid.get("who"),
    }
    if "corrected" in laid:
        film["corrected"] = laid["corrected"]
    state["films"].append(film)
    index.films.setdefault(film["id"], []).append(film)
    step = None if film["step"] is None else index.steps.get(film["step"])
    if step:
        step["laid"] = max(step["laid"] + 1, laid.get("coats_on") or 0)
        if step["do"] in ("fill", "coat") and step["laid"] >= step["coats"] and step["done_at"] is None:
            step["done_at"] = act["at"]


def _found_ready(state: PanelState, act: Act, index: _Index) -> None:
    for film in index.films_of(act):
        if act["gate"] not in film["ready"]:
            film["ready"].append(act["gate"])


def _found_not_ready(state: PanelState, act: Act, index: _Index) -> None:
    for film in index.films_of(act):
        film["ready"] = [gate for gate in film["ready"] if gate != act["gate"]]
        film["ask"][act["gate"]] = act["ask_at"]


def _step_done(state: PanelState, act: Act, index: _Index) -> None:
    step_id = cast(str, act["step"])
    step = index.steps.get(step_id)
    if not step and step_id in finishing.IDS:
        after = state.setdefault("after", {})
        after[step_id] = act["at"] if after.get(step_id, 0) is not None else None
    if not step or step["done_at"] is not None:
        return
    step["done_at"], area = act["at"], step["area"]
    if step["do"] == "sand":
        for film in state["films"][index.sanded.get(area, 0) :]:  # the others have it from the last time
            if areas.touch(film["area"], area):
                film["sanded"].append(area)
        index.sanded[area] = len(state["films"])


def _both_laid(state: PanelState, act: Act, index: _Index) -> None:
    duplicates.both_laid(index.films_of(act), act)


def _taken(state: PanelState, act: Act) -> None:
    state["taken"] = {"by": act["by"], "note": "", "at": act["at"], "from": None}


def _handed(state: PanelState, act: Act) -> None:
    state["taken"] = {"by": act["to"], "note": act.get("note", ""), "at": act["at"], "from": act.get("who")}


def _let_go(state: PanelState, act: Act) -> None:
    state["taken"] = None


def _put_away(state: PanelState, act: Act) -> None:
    state["away_at"] = act["at"]


def _brought_back(state: PanelState, act: Act) -> None:
    state["away_at"] = None


def _surface_read(state: PanelState, act: Act) -> None:
    _surface_ended(state, act)
    surface = (act["at"], act.get("until_ms"), act["temp_dc"])
    warm, cool = act.get("warm_ms") or 0, act.get("cool_ms") or 0
    state["surfaces"].append((*surface, warm, cool) if warm or cool else surface)


def _surface_ended(state: PanelState, act: Act) -> None:
    """The last surface reading ends here; all before it had ended when it began."""
    for last in state["surfaces"][-1:]:
        if last[1] is None or last[1] > act["at"]:
            state["surfaces"][-1] = cast(Surface, (last[0], act["at"], *last[2:]))


_RULES: dict[str, Callable[[PanelState, Act], None]] = {
    "panel_named": _named,
    "surface_read": _surface_read,
    "surface_ended": _surface_ended,
    "ring_silenced": silence.silenced,
    "ring_snoozed": silence.snoozed,
    "panel_taken": _taken,
    "panel_handed": _handed,
    "panel_let_go": _let_go,
    "panel_put_away": _put_away,
    "panel_brought_back": _brought_back,
}
_INDEXED: dict[str, Callable[[PanelState, Act, _Index], None]] = {
    "panel_added": _added,
    "step_added": _step_added,
    "step_dropped": _step_dropped,
    "step_moved": _step_moved,
    "sent_back": _sent_back,
    "film_laid": _film_laid,
    "found_ready": _found_ready,
    "found_not_ready": _found_not_ready,
    "step_done": _step_done,
    "both_laid": _both_laid,
}
