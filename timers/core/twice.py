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
    Source   our own rule, in timers/DECISIONS.md
    Vectors  tests/vectors/twice.json
    """
    coats: dict[tuple, dict] = {}  # of each coat and phone the films
    for nth, two in enumerate(state["films"]):
        if not two.get("who") or two["sanded"]:
            continue
        phones = coats.setdefault(tuple(two[key] for key in ("step", "area", "coat")), {})
        others = [_first(films, two) for who, films in phones.items() if who != two["who"]]
        if found := min((one for one in others if one), default=None, key=lambda one: one[0]):
            return [found[1], two]
        phones.setdefault(two["who"], []).append((nth, two, set(two.get("both", []))))
    return []


def asked(state: dict, now_ms: int, zone) -> dict:
    """What a card adds to its face: the question, or nothing."""
    found = pair(state)
    if not found:
        return {}
    one, two = (words.shuts(film["laid_at"], now_ms, zone) for film in found)
    laid = {"name": found[0]["sheet"]["name"], "n": found[0]["coat"], "one": one, "two": two}
    return {"twice": t("{name}, coat {n}: laid on two phones, {one} and {two}. Once or twice?", **laid)}


def both_laid(films: list[dict], act: dict) -> None:
    """The named films are all real; `put_in_order` makes lists of the sets once all acts are laid on."""
    for film in films:
        film.setdefault("both", set()).update(act["films"])


def put_in_order(films: list[dict]) -> None:
    for film in films:
        if "both" in film:
            film["both"] = sorted(film["both"])


def _first(films: list[tuple], two: dict) -> tuple | None:
    """The first of a phone's films that may be this one told of twice."""
    return next((one for one in films if two["id"] not in one[2]), None)
