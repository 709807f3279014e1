"""One coat that two phones told of: were it one coat or two?  Twin: static/js/core/twice.js

Two phones that had not heard of each other number the same coat of the same step alike.  Whether that was one coat told
of twice, or two coats, only the people know; until they say, both films count.
"""

from . import words
from .tongue import t


def pair(state: dict) -> list[dict]:
    """The first two films that a person must judge, the earlier first; [] when there are none.

    Rule     same step, area and coat; two known phones; neither sanded; not said to be both real.  However far
             apart: a phone that had heard of the other's coat would have given its own the next number
    Unit     ms since 1970 UTC
    Holds    any folded panel
    Source   our own rule, in DEVELOPERS.md
    Vectors  tests/vectors/twice.json
    """
    films = state["films"]
    for at, two in enumerate(films):
        for one in films[:at]:
            if _same_coat(one, two) and two["id"] not in one.get("both", []):
                return [one, two]
    return []


def asked(state: dict, now_ms: int, zone) -> dict:
    """What a card adds to its face: the question, or nothing."""
    found = pair(state)
    if not found:
        return {}
    one, two = (words.shuts(film["laid_at"], now_ms, zone) for film in found)
    laid = {"name": found[0]["sheet"]["name"], "n": found[0]["coat"], "one": one, "two": two}
    return {"twice": t("{name}, coat {n}: laid on two phones, {one} and {two}. Once or twice?", **laid)}


def both_laid(state: dict, act: dict) -> None:
    """The named films are all real."""
    for film in state["films"]:
        if film["id"] in act["films"]:
            film["both"] = sorted({*film.get("both", []), *act["films"]})


def _same_coat(one: dict, two: dict) -> bool:
    same = all(one[key] == two[key] for key in ("step", "area", "coat"))
    known = one.get("who") and two.get("who") and one["who"] != two["who"]
    bare = not one["sanded"] and not two["sanded"]
    return bool(same and known and bare)
