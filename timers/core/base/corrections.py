"""What acts were corrected to, by acts that name them.  Twin: static/js/core/base/corrections.js

The first act stays in the log as it was made; the folds read it as its newest corrections say.
"""

from typing import cast

from .shapes import Act
from .step_shapes import GivenStep

CORRECTED = "act_corrected"
MARK = "corrected"  # of an act as it was corrected: by which one, and when
# Kinds that can be corrected: of each the fields that change together, beside the moment.  A group counts where its
# first field is there, and then says all of it: what is missing is none.
GROUPS: dict[str, list[list[str]]] = {
    "film_laid": [["sheet", "product", "coat", "coats_on", "cup"]],
    "step_done": [],
    "found_ready": [],
    "found_not_ready": [],
    "sent_back": [],
    "surface_read": [],
    "surface_ended": [],
    "cup_mixed": [["sheet", "product"]],
    "cup_used": [],
    "cup_emptied": [["left"]],
    "air_read": [["temp_dc", "rh_pm"]],
}


def applied(acts: list[Act]) -> list[Act]:
    """Acts that stand, in order, as they were corrected; without the corrections.

    Rule     of the moment and of each group of fields the newest correction by (at, id) counts; what was corrected
             says by which and when (`corrected`), and nothing else does.  A correction of an act that does not stand,
             or is of another kind than it says, changes nothing.  The end of a lamp moves with its beginning
    Unit     ms since 1970 UTC
    Holds    checked acts that stand, by (at, id)
    Source   our own rule
    Vectors  tests/vectors/corrections.json
    """
    acts = [_as_made(act) if MARK in act else act for act in acts]
    said = [act for act in acts if act["kind"] == CORRECTED]
    if not said:
        return acts
    stand = {act["id"]: act for act in acts if act["kind"] != CORRECTED}
    for by in said:
        first = stand.get(by["act"])
        if first and first["kind"] == by["of"] and by["of"] in GROUPS:
            stand[by["act"]] = _corrected(first, by)
    return sorted(stand.values(), key=lambda act: (act["at"], act["id"]))


def steps_first(acts: list[Act]) -> list[Act]:
    """Acts of a panel, what was done at a step never before the step was added: it keeps its moment, not its place.

    Rule     a coat laid, or a step done, at a step that an act added later stands right behind that act
    Unit     ms since 1970 UTC
    Holds    acts as `applied` gives them
    Source   our own rule: a step is often written down after the work on it began
    Vectors  tests/vectors/corrections.json
    """
    added: dict[str, tuple[int, str]] = {}
    for act in acts:
        if act["kind"] in ("step_added", "sent_back"):
            steps = [act["step"]] if act["kind"] == "step_added" else act["steps"]
            for step in cast(list[GivenStep], steps):
                added.setdefault(step["id"], (act["at"], act["id"]))

    def place(act: Act) -> tuple[int, str, int, str]:
        own = (act["at"], act["id"])
        step = cast(str, act.get("step") or "") if act["kind"] in ("film_laid", "step_done") else ""
        return (*added[step], *own) if own < added.get(step, own) else (*own, 0, "")

    return sorted(acts, key=place) if added else acts


def _as_made(act: Act) -> Act:
    return cast(Act, {key: value for key, value in act.items() if key != MARK})


def _corrected(act: Act, by: Act) -> Act:
    was, to = cast(dict[str, object], act), cast(dict[str, object], by)
    fixed = {**was, MARK: (by["id"], by["at"])}
    for group in GROUPS[act["kind"]]:
        if to.get(group[0]) is not None:
            fixed = {key: value for key, value in fixed.items() if key not in group}
            fixed |= {key: to[key] for key in group if to.get(key) is not None}
    at_ms = by.get("at_ms")
    if at_ms is not None:
        fixed["at"] = at_ms
        until_ms = act.get("until_ms")
        if until_ms is not None:
            fixed["until_ms"] = until_ms + at_ms - act["at"]
    return cast(Act, fixed)
