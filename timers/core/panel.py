"""A panel folded from its acts: steps, films, what is done.  Twin: static/js/core/panel.js

Folding never fails: an act that fits nothing (a step that was dropped, a film that was undone) changes nothing, and
any set of checked acts gives the same panel whatever order they arrived in.
"""

from . import quiet, twice
from .order import standing


def fold(acts: list[dict]) -> dict:
    """The panel as its standing acts make it.

    Rule     `panel_added` first wherever it stands in time (a phone's clock may have been behind), the rest in order
    Unit     ms since 1970 UTC
    Holds    any checked acts of one panel
    Source   our own rules, in timers/DECISIONS.md
    Vectors  tests/vectors/panel.json
    """
    acts = standing(acts)
    births = [act for act in acts if act["kind"] == "panel_added"][:1]
    state, found = _blank(), _Found()
    for act in births + [act for act in acts if act["kind"] != "panel_added"]:
        if act["kind"] in _RULES:  # a kind that this version does not know is ignored
            _RULES[act["kind"]](state, act)
        elif act["kind"] in _FINDING:
            _FINDING[act["kind"]](state, act, found)
    state["steps"] = [found.steps[step_id] for step_id in found.order]
    twice.put_in_order(state["films"])
    return state


def current(state: dict) -> dict | None:
    """The first step not done, or None when all are."""
    return next((step for step in state["steps"] if step["done_at"] is None), None)


def under(state: dict, area: str) -> list[dict]:
    """The films that matter to work on an area ('' is the whole panel): not covered by a later one, not sanded."""
    bare, over = [], set()  # areas of the films that were laid later
    for film in reversed(state["films"]):
        if area == "" or film["area"] in ("", area):
            if over.isdisjoint(("", film["area"], area)) and not _sanded(film, area):
                bare.append(film)
            over.add(film["area"])
    return bare[::-1]


class _Found:
    """What a fold looks up again and again, so that many acts cost no more each than few."""

    def __init__(self):
        self.steps: dict[str, dict] = {}
        self.order: list[str] = []  # ids of the steps as they follow each other
        self.films: dict[str, list[dict]] = {}  # a film told of twice stands twice
        self.sanded: dict[str, int] = {}  # of an area: how many films there were when it was sanded last

    def put_in(self, steps: list[dict], before: str | None) -> None:
        """New steps before the named one; at the end when there is no such step."""
        new = {step["id"]: _fresh(step) for step in steps if step["id"] not in self.steps}
        self.place(list(new), before)
        self.steps |= new

    def place(self, ids: list[str], before: str | None) -> None:
        at = self.order.index(before) if before in self.steps else len(self.order)
        self.order[at:at] = ids

    def named(self, act: dict) -> list[dict]:
        """The films that an act names."""
        return [film for film_id in dict.fromkeys(act["films"]) for film in self.films.get(film_id, [])]


def _blank() -> dict:
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


def _added(state: dict, act: dict, found: _Found) -> None:
    state["name"], state["job"], state["added_at"] = act["name"], act.get("job", ""), act["at"]
    found.put_in(act["steps"], None)


def _named(state: dict, act: dict) -> None:
    state["name"], state["job"] = act["name"], act.get("job", "")


def _step_added(state: dict, act: dict, found: _Found) -> None:
    found.put_in([act["step"]], act.get("before"))


def _step_dropped(state: dict, act: dict, found: _Found) -> None:
    if found.steps.pop(act["step"], None):
        found.order.remove(act["step"])


def _step_moved(state: dict, act: dict, found: _Found) -> None:
    if act["step"] in found.steps and act.get("before") != act["step"]:
        found.order.remove(act["step"])
        found.place([act["step"]], act.get("before"))


def _sent_back(state: dict, act: dict, found: _Found) -> None:
    found.put_in(act["steps"], act.get("before"))


def _film_laid(state: dict, act: dict, found: _Found) -> None:
    film = {
        "id": act["film"],
        "step": act.get("step"),
        "area": act.get("area", ""),
        "coat": act["coat"],
        "laid_at": act["at"],
        "product": act["product"],
        "sheet": act["sheet"],
        "sanded": [],
        "ready": [],
        "ask": {},
        "who": act.get("who"),
    }
    state["films"].append(film)
    found.films.setdefault(film["id"], []).append(film)
    if step := found.steps.get(act.get("step")):
        step["laid"] += 1
        if step["do"] in ("fill", "coat") and step["laid"] >= step["coats"] and step["done_at"] is None:
            step["done_at"] = act["at"]


def _found_ready(state: dict, act: dict, found: _Found) -> None:
    for film in found.named(act):
        if act["gate"] not in film["ready"]:
            film["ready"].append(act["gate"])


def _found_not_ready(state: dict, act: dict, found: _Found) -> None:
    for film in found.named(act):
        film["ready"] = [gate for gate in film["ready"] if gate != act["gate"]]
        film["ask"][act["gate"]] = act["ask_at"]


def _step_done(state: dict, act: dict, found: _Found) -> None:
    step = found.steps.get(act["step"])
    if not step or step["done_at"] is not None:
        return
    step["done_at"], area = act["at"], step["area"]
    if step["do"] == "sand":
        for film in state["films"][found.sanded.get(area, 0) :]:  # the others have it from the last time
            if area == "" or film["area"] in ("", area):
                film["sanded"].append(area)
        found.sanded[area] = len(state["films"])


def _both_laid(state: dict, act: dict, found: _Found) -> None:
    twice.both_laid(found.named(act), act)


def _taken(state: dict, act: dict) -> None:
    state["taken"] = {"by": act["by"], "note": "", "at": act["at"], "from": None}


def _handed(state: dict, act: dict) -> None:
    state["taken"] = {"by": act["to"], "note": act.get("note", ""), "at": act["at"], "from": act.get("who")}


def _let_go(state: dict, act: dict) -> None:
    state["taken"] = None


def _put_away(state: dict, act: dict) -> None:
    state["away_at"] = act["at"]


def _brought_back(state: dict, act: dict) -> None:
    state["away_at"] = None


def _surface_read(state: dict, act: dict) -> None:
    _surface_ended(state, act)
    state["surfaces"].append([act["at"], act.get("until_ms"), act["temp_dc"]])


def _surface_ended(state: dict, act: dict) -> None:
    """What is still said of the surface ends here; all before the last had ended when that began."""
    for surface in state["surfaces"][-1:]:
        if surface[1] is None or surface[1] > act["at"]:
            surface[1] = act["at"]


_RULES = {
    "panel_named": _named,
    "surface_read": _surface_read,
    "surface_ended": _surface_ended,
    "ring_silenced": quiet.silenced,
    "ring_snoozed": quiet.snoozed,
    "panel_taken": _taken,
    "panel_handed": _handed,
    "panel_let_go": _let_go,
    "panel_put_away": _put_away,
    "panel_brought_back": _brought_back,
}
_FINDING = {
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


def _fresh(step: dict) -> dict:
    """A step as given in an act, with what happens to it still blank."""
    return {
        "id": step["id"],
        "do": step["do"],
        "words": step["words"],
        "cls": step.get("cls", ""),
        "coats": step.get("coats", 1),
        "grit": step.get("grit", 0),
        "area": step.get("area", ""),
        "laid": 0,
        "done_at": None,
    }


def _sanded(film: dict, area: str) -> bool:
    return "" in film["sanded"] or film["area"] in film["sanded"] or (area != "" and area in film["sanded"])
