"""The order of the floor, and the line that says what hands are free for.  Twin: static/js/core/card/floor_order.js"""

from ..base import words
from ..base.shapes import Zone
from ..base.states import FloorRow
from ..base.translate import t, tn
from .panel_card import ASKED, CLOSING, FREE, OPENS, SHUT, STILL, TRY, WAITS

NEVER = 9_007_199_254_740_991  # the largest whole number a double holds exactly
QUIET = (WAITS, ASKED, STILL)
URGENT = {CLOSING: 0, SHUT: 1, TRY: 2}


def floor_order(rows: list[FloorRow]) -> list[FloorRow]:
    """What rings, then what closes soonest, then what opens next, then the rest; oldest panel first among equals.

    Rule     design, "Order of the floor"
    Unit     ms since 1970 UTC
    Holds    any rows
    Source   our own rule
    Vectors  tests/vectors/floor.json
    """
    return sorted(rows, key=_key)


def hands_line(rows: list[FloorRow], now_ms: int, zone: Zone) -> str:
    """One sentence: what to do now, or how long the hands are free and for what.  A cup that is merely good asks for
    nothing; a panel that cures is named when it is due, and while it waits only where nothing else stands."""
    if not rows:
        return t("No panel yet. Add the first one.")
    rows = [row for row in rows if not (row.get("curing") and row["mode"] in QUIET)] or rows
    rows = floor_order([row for row in rows if not (row["mode"] == OPENS and row["id"].startswith("cup:"))])
    if not rows:
        return t("Nothing runs and nothing waits for you.")
    first = rows[0]
    if first["mode"] in URGENT or first["mode"] == OPENS:
        more = len([row for row in rows[1:] if row["mode"] in URGENT])
        line = t("Now: {name}. {say}", name=first["name"], say=first["say"])
        return f"{line}. {tn('And {n} more', 'And {n} more', more)}" if more else line
    free = next((row for row in rows if row["mode"] == FREE), None)
    if first["mode"] in (WAITS, ASKED):
        return _until(first, free, now_ms, zone)
    if free:
        return t("Hands free for: {name}, {step}", name=free["name"], step=free["step"])
    return t("Nothing runs and nothing waits for you.")


def _until(first: FloorRow, free: FloorRow | None, now_ms: int, zone: Zone) -> str:
    at = _moment(first)
    then = {"time": words.opens(at, now_ms, zone), "then": first["name"]}
    if free:
        work = {"name": free["name"], "step": free["step"]}
        return t("Hands free for: {name}, {step}; until {time}, then {then}", **work, **then)
    return t("Hands free for {span}, until {time}, then {then}", span=words.span(at - now_ms), **then)


def _key(row: FloorRow) -> tuple[int, int, int, str]:
    mode = row["mode"]
    if mode in URGENT:
        return (0, URGENT[mode], _or_never(row["opens_at"] if mode == TRY else row["shuts_at"]), row["id"])
    if mode == OPENS:
        return (1, 0, _or_never(row["shuts_at"]), row["id"])
    if mode in (WAITS, ASKED):
        return (2, 0, _moment(row), row["id"])
    return (3, 0, _or_never(row["added_at"]), row["id"])


def _moment(row: FloorRow) -> int:
    return _or_never(row["ask_at"] if row["mode"] == ASKED else row["opens_at"])


def _or_never(moment: int | None) -> int:
    return NEVER if moment is None else moment
