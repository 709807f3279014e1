"""The order of acts, and which of them stand.  Twin: static/js/core/fold/order.js"""

from bisect import bisect_left, bisect_right
from operator import itemgetter

from ..base import corrections
from ..base.shapes import Act, Ordered, Trace


def in_order(acts: list[Act]) -> list[Act]:
    """Acts by the moment they happened, then by id, whatever order they arrived in; a repeated id counts once.

    Rule     sort by (at, id); of two acts with one id the first given stays
    Unit     at: ms since 1970 UTC; id: UUIDv7 in lower case
    Holds    any list of checked acts
    Source   our own rule; ids sort by time, RFC 9562 section 5.7
    Vectors  tests/vectors/order.json
    """
    once: Ordered[str, Act] = {}
    for act in acts:
        once.setdefault(act["id"], act)
    return sorted(once.values(), key=lambda act: (act["at"], act["id"]))


def taken_out(acts: list[Act]) -> set[str]:
    """Ids of acts that were undone and not put back: the last word on each act rules."""
    last: Ordered[str, str] = {}
    for act in in_order(acts):
        if act["kind"] in ("undone", "restored"):
            last[act["act"]] = act["kind"]
    return {target for target, word in last.items() if word == "undone"}


def standing(acts: list[Act]) -> list[Act]:
    """Acts in order as they were corrected, without those taken out, and without the undoing and correcting itself."""
    out = taken_out(acts)
    stand = [act for act in in_order(acts) if act["id"] not in out and act["kind"] not in ("undone", "restored")]
    return corrections.applied(stand)


def first_after(steps: Trace, moment_ms: int) -> int:
    """The place of the first step of a trace after a moment; their number where there is none."""
    return bisect_right(steps, moment_ms, key=itemgetter(0))


def first_from(steps: Trace, moment_ms: int) -> int:
    """The place of the first step of a trace not before a moment."""
    return bisect_left(steps, moment_ms, key=itemgetter(0))
