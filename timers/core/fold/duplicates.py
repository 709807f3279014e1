"""One coat that two phones told of: were it one coat or two?  Twin: static/js/core/fold/duplicates.js

Two phones that had not heard of each other number the same coat of the same step alike.  Whether that was one coat told
of twice, or two coats, only the people know; until they say, both films count.
"""

from typing import TypeAlias

from ..base import words
from ..base.shapes import Act, Ordered, Zone
from ..base.states import CardAside, Film, PanelState
from ..base.translate import t

Placed: TypeAlias = tuple[int, Film, set[str]]  # a film, its place among a panel's, and those real beside it


def pair(state: PanelState) -> list[Film]:
    """The first two films that a person must judge, the earlier first; [] when there are none.

    Rule     same step, area and coat; two known phones; neither sanded; not said to be both real.  However far
             apart: a phone that had heard of the other's coat would have given its own the next number
    Unit     ms since 1970 UTC
    Holds    any folded panel
    Source   our own rule, in timers/DECISIONS.md
    Vectors  tests/vectors/twice.json
    """
    coats: dict[tuple[str | None, str, int], Ordered[str, list[Placed]]] = {}  # of each coat, the films by phone
    for nth, two in enumerate(state["films"]):
        who = two.get("who")
        if not who or two["sanded"]:
            continue
        coat = (two["step"], two["area"], two["coat"])
        phones = coats.get(coat, {})
        coats[coat] = phones
        others = [_first(films, two) for phone, films in phones.items() if phone != who]
        first = min((one for one in others if one), key=lambda one: one[0], default=None)
        if first:
            return [first[1], two]
        phones.setdefault(who, []).append((nth, two, set(two.get("both", []))))
    return []


def asked(state: PanelState, now_ms: int, zone: Zone) -> CardAside:
    """What a card adds to its face: the question, or nothing."""
    films = pair(state)
    if not films:
        return {}
    one, two = films
    laid = {
        "name": one["sheet"]["name"],
        "n": one["coat"],
        "one": words.shuts(one["laid_at"], now_ms, zone),
        "two": words.shuts(two["laid_at"], now_ms, zone),
    }
    return {"twice": t("{name}, coat {n}: laid on two phones, {one} and {two}. Once or twice?", **laid)}


def both_laid(films: list[Film], act: Act) -> None:
    """The named films are all real; `put_in_order` sorts them out once all acts are laid on."""
    for film in films:
        both = film.get("both", [])
        both.extend(act["films"])
        film["both"] = both


def put_in_order(films: list[Film]) -> None:
    for film in films:
        if "both" in film:
            film["both"] = sorted(set(film["both"]))


def _first(films: list[Placed], two: Film) -> Placed | None:
    """The first of a phone's films that may be this one told of twice."""
    return next((one for one in films if two["id"] not in one[2]), None)
