"""The order of acts, and which of them stand.  Twin: static/js/core/order.js"""

from bisect import bisect_left, bisect_right
from operator import itemgetter


def in_order(acts: list[dict]) -> list[dict]:
    """Acts by the moment they happened, then by id, whatever order they arrived in; a repeated id counts once.

    Rule     sort by (at, id); of two acts with one id the first given stays
    Unit     at: ms since 1970 UTC; id: UUIDv7 in lower case
    Holds    any list of checked acts
    Source   our own rule; ids sort by time, RFC 9562 section 5.7
    Vectors  tests/vectors/order.json
    """
    once = {}
    for act in acts:
        once.setdefault(act["id"], act)
    return sorted(once.values(), key=lambda act: (act["at"], act["id"]))


def taken_out(acts: list[dict]) -> set[str]:
    """Ids of acts that were undone and not put back: the last word on each act rules."""
    last = {}
    for act in in_order(acts):
        if act["kind"] in ("undone", "restored"):
            last[act["act"]] = act["kind"]
    return {target for target, word in last.items() if word == "undone"}


def standing(acts: list[dict]) -> list[dict]:
    """Acts in order, without those taken out and without the undoing itself."""
    out = taken_out(acts)
    return [act for act in in_order(acts) if act["id"] not in out and act["kind"] not in ("undone", "restored")]


def first_after(rows: list[list], moment: int) -> int:
    """Of rows [moment, ...] in order, the place of the first one after a moment; their number where there is none."""
    return bisect_right(rows, moment, key=itemgetter(0))


def first_from(rows: list[list], moment: int) -> int:
    """Of rows [moment, ...] in order, the place of the first one not before a moment."""
    return bisect_left(rows, moment, key=itemgetter(0))
