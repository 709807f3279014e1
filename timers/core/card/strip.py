"""The strip of a card, of a panel or a cup.  Twin: static/js/core/card/strip.js"""

from ..base import words
from ..base.shapes import Zone
from ..base.states import Clocks, Strip
from ..base.units import DAY_MS, whole


def strip(mode: str, times: Clocks, now_ms: int, zone: Zone) -> Strip:
    """The strip: its shape, where now stands from 0 to 1000, and the clock times at its edges.

    The waiting part is 400 wide, the open part 480, the shut part 120, each to its own scale, so that a flash of ten
    minutes before a window of a day still shows.
    """
    laid, opens, shuts = times["laid_at"], times["opens_at"], times["shuts_at"]
    if not times["gate"] or laid is None:
        return {"shape": "none", "now": 0, "from": "", "opens": "", "shuts": ""}
    return {
        "shape": "still" if opens is None else "window" if shuts is not None else "opens",
        "now": _now_mark(laid, opens, shuts, now_ms),
        "from": words.shuts(laid, now_ms, zone),
        "opens": "" if opens is None else opening(opens, now_ms, zone),
        "shuts": "" if shuts is None else words.shuts(shuts, now_ms, zone),
    }


def opening(opens: int, now_ms: int, zone: Zone) -> str:
    """An opening to come is said up to the minute, one that has been is said down: neither lies in the future."""
    return words.opens(opens, now_ms, zone) if now_ms < opens else words.shuts(opens, now_ms, zone)


def _now_mark(laid: int, opens: int | None, shuts: int | None, now_ms: int) -> int:
    if opens is None:
        return 0
    if now_ms < opens:
        return _along(laid, opens, now_ms, 0, 400)
    if shuts is None or shuts <= opens:
        return _along(opens, opens + DAY_MS, now_ms, 400, 1000)
    if now_ms < shuts:
        return _along(opens, shuts, now_ms, 400, 880)
    return _along(shuts, shuts + DAY_MS, now_ms, 880, 1000)


def _along(begin: int, end: int, now_ms: int, low: int, high: int) -> int:
    if now_ms <= begin or end <= begin:
        return low
    return high if now_ms >= end else low + whole((high - low) * (now_ms - begin) / (end - begin))
