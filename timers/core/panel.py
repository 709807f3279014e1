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
    Source   our own rules, in DEVELOPERS.md
    Vectors  tests/vectors/panel.json
    """
    acts = standing(acts)
    births = [act for act in acts if act["kind"] == "panel_added"][:1]
    state = _blank()
    for act in births + [act for act in acts if act["kind"] != "panel_added"]:
        apply(state, act)
    return state


def apply(state: dict, act: dict) -> None:
    """One act laid on the state; a kind this version does not know is ignored."""
    rule = _RULES.get(act["kind"])
    if rule:
        rule(state, act)


def current(state: dict) -> dict | None:
    """The first step not done, or None when all are."""
    return next((step for step in state["steps"] if step["done_at"] is None), None)


def under(state: dict, area: str) -> list[dict]:
    """The films that matter to work on an area ('' is the whole panel): not covered by a later one, not sanded."""
    touching = [film for film in state["films"] if area == "" or film["area"] in ("", area)]
    bare = [film for at, film in enumerate(touching) if not _covered(film, touching[at + 1 :], area)]
    return [film for film in bare if not _sanded(film, area)]


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


def _added(state: dict, act: dict) -> None:
    state["name"], state["job"], state["added_at"] = act["name"], act.get("job", ""), act["at"]
    state["steps"] = [_fresh(step) for step in act["steps"]]


def _named(state: dict, act: dict) -> None:
    state["name"], state["job"] = act["name"], act.get("job", "")


def _step_added(state: dict, act: dict) -> None:
    _insert(state, [act["step"]], act.get("before"))


def _step_dropped(state: dict, act: dict) -> None:
    state["steps"] = [step for step in state["steps"] if step["id"] != act["step"]]


def _step_moved(state: dict, act: dict) -> None:
    moved = _find(state["steps"], act["step"])
    if moved and act.get("before") != act["step"]:
        rest = [step for step in state["steps"] if step is not moved]
        state["steps"] = _with(rest, [moved], act.get("before"))


def _sent_back(state: dict, act: dict) -> None:
    _insert(state, act["steps"], act.get("before"))


def _film_laid(state: dict, act: dict) -> None:
    step = _find(state["steps"], act.get("step"))
    state["films"].append(
        {
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
    )
    if step:
        step["laid"] += 1
        if step["do"] in ("fill", "coat") and step["laid"] >= step["coats"] and step["done_at"] is None:
            step["done_at"] = act["at"]


def _found_ready(state: dict, act: dict) -> None:
    for film in _named_films(state, act):
        if act["gate"] not in film["ready"]:
            film["ready"].append(act["gate"])


def _found_not_ready(state: dict, act: dict) -> None:
    for film in _named_films(state, act):
        film["ready"] = [gate for gate in film["ready"] if gate != act["gate"]]
        film["ask"][act["gate"]] = act["ask_at"]


def _step_done(state: dict, act: dict) -> None:
    step = _find(state["steps"], act["step"])
    if not step or step["done_at"] is not None:
        return
    step["done_at"] = act["at"]
    if step["do"] == "sand":
        for film in state["films"]:
            if (step["area"] == "" or film["area"] in ("", step["area"])) and step["area"] not in film["sanded"]:
                film["sanded"].append(step["area"])


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
    """What is still said of the surface ends here."""
    for surface in state["surfaces"]:
        if surface[1] is None or surface[1] > act["at"]:
            surface[1] = act["at"]


_RULES = {
    "panel_added": _added,
    "panel_named": _named,
    "step_added": _step_added,
    "step_dropped": _step_dropped,
    "step_moved": _step_moved,
    "sent_back": _sent_back,
    "film_laid": _film_laid,
    "found_ready": _found_ready,
    "found_not_ready": _found_not_ready,
    "step_done": _step_done,
    "surface_read": _surface_read,
    "surface_ended": _surface_ended,
    "both_laid": twice.both_laid,
    "ring_silenced": quiet.silenced,
    "ring_snoozed": quiet.snoozed,
    "panel_taken": _taken,
    "panel_handed": _handed,
    "panel_let_go": _let_go,
    "panel_put_away": _put_away,
    "panel_brought_back": _brought_back,
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


def _insert(state: dict, steps: list[dict], before: str | None) -> None:
    known = {step["id"] for step in state["steps"]}
    state["steps"] = _with(state["steps"], [_fresh(step) for step in steps if step["id"] not in known], before)


def _with(steps: list[dict], more: list[dict], before: str | None) -> list[dict]:
    """Steps with more put in before the named one; at the end when there is no such step."""
    at = next((at for at, step in enumerate(steps) if step["id"] == before), len(steps))
    return steps[:at] + more + steps[at:]


def _find(steps: list[dict], wanted: str | None) -> dict | None:
    return next((step for step in steps if step["id"] == wanted), None)


def _named_films(state: dict, act: dict) -> list[dict]:
    return [film for film in state["films"] if film["id"] in act["films"]]


def _covered(film: dict, later: list[dict], area: str) -> bool:
    return any(over["area"] in ("", film["area"]) or (area and over["area"] == area) for over in later)


def _sanded(film: dict, area: str) -> bool:
    return "" in film["sanded"] or film["area"] in film["sanded"] or (area != "" and area in film["sanded"])
