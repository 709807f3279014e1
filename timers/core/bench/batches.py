"""How many cups a job takes in the air of the shop: stirred, left to stand, sprayed before the pot life is over.

Twin: static/js/core/bench/batches.js"""

from typing import TypedDict

from ..base.shapes import GateSide, Sheet, Trace
from ..base.units import DAY_MS, MINUTE_MS
from ..clock import cure
from .cover import CupShare, cups


class Batches(TypedDict):
    """As cover.Cups, with the times of the sheet that they were reckoned with."""

    one: bool
    takes_ms: int
    share: int
    cups: list[CupShare]
    pot_ms: int
    induction_ms: int


def batches(sheet: Sheet, total_ml: int, coats: int, spray_ms: int, now_ms: int, trace: Trace) -> Batches | None:
    """Whether one cup lasts for all coats, mixed now, and if not how many; None where the sheet tells no pot life.

    Rule     the pot life is the shortest, of the hotter side, that a cup for any of the coats would have; induction and
             flash are the longest, of the colder side; the coats follow each other as fast as they flash
    Unit     ml, ms
    Holds    as cover.cups; a pot life counts as a minute at least, each time as a day at most, also one that never ends
    Source   design rule "two sides"
    Vectors  tests/vectors/batches.json
    """
    if "pot" not in sheet["gates"]:
        return None
    pot, flash, induction = DAY_MS, 0, 0
    at = now_ms
    for _ in range(coats):
        ends = cure.closes_at(cure.closing(sheet, "pot"), at, trace)
        pot = min(pot, DAY_MS if ends is None else ends - at)
        induction = max(induction, _waits(sheet, "induction", at, trace))
        flash = max(flash, _waits(sheet, "flash", at + induction + spray_ms, trace))
        at += spray_ms + flash
    pot = max(pot, MINUTE_MS)
    needed = cups(total_ml, coats, spray_ms, flash, pot, induction)
    return {**needed, "pot_ms": pot, "induction_ms": induction}


def _waits(sheet: Sheet, gate: str, from_ms: int, trace: Trace) -> int:
    """How long a gate takes from a moment; a shop that is too cold for the product is said elsewhere."""
    if gate not in sheet["gates"]:
        return 0
    side: GateSide = {**cure.opening(sheet, gate), "lowest_dc": None}
    opens = cure.opens_at(side, from_ms, trace)
    return DAY_MS if opens is None else min(opens - from_ms, DAY_MS)
