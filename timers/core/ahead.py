"""Ahead of laying a film: standing still, a window that shuts in the night.  Twin: static/js/core/ahead.js"""

from . import cure
from .film import gate_of
from .units import DAY_MS, MINUTE_MS
from .words import degrees, opens, shuts

EVENING_MIN, MORNING_MIN = 21 * 60, 6 * 60  # nobody stands in the shop: common practice, no source


def warnings(sheet: dict, now_ms: int, trace: list, zone, unit: str = "c") -> list[str]:
    """What a film laid now would meet with the readings and expected temperatures there are; empty when nothing bad.

    Rule     it never opens; it stands still on the way; its window shuts at night, or before the next coat may go on
    Unit     ms since 1970 UTC; zone minutes east of UTC
    Holds    a sheet as a film keeps it; night is 21:00 to 06:00 of the shop
    Source   own rule on the clocks of cure; expected readings go through the same sums
    Vectors  tests/vectors/ahead.json
    """
    openers = [gate for gate in ("flash", "sand") if gate in sheet["gates"]]
    still = [_standing_still(sheet, gate, now_ms, trace, zone, unit) for gate in openers]
    return [words for words in still if words][:1] + _shutting(sheet, now_ms, trace, zone)


def _standing_still(sheet: dict, opener: str, now_ms: int, trace: list, zone, unit: str) -> str:
    end = cure.opens_at(cure.opening(sheet, opener), now_ms, trace)
    what = "Sand" if opener == "sand" else "The next coat"
    lowest = sheet.get("lowest_dc")
    cold = [step for step in _ahead(now_ms, end, trace) if lowest is not None and step[1] < lowest]
    if cold:
        since = "now" if cold[0][0] <= now_ms else f"from {shuts(cold[0][0], now_ms, zone)}"
        then = "" if end is None else f" {what} from {opens(end, now_ms, zone)}."
        return f"It stands still {since}: below {degrees(lowest, unit)}, {degrees(cold[0][1], unit)} is expected.{then}"
    return f"It stands still: the air is too damp for {what.lower()}." if end is None else ""


def _shutting(sheet: dict, now_ms: int, trace: list, zone) -> list[str]:
    film = {"id": "", "sheet": sheet, "laid_at": now_ms, "ask": {}, "ready": []}
    gate = gate_of(film, "flash", trace)
    end = gate and gate["shuts_at"]
    if not end:
        return []
    if gate["opens_at"] is not None and end <= gate["opens_at"]:
        return [f"Its window shuts {shuts(end, now_ms, zone)}, before the next coat can go on. Sand first then."]
    minute = (end + zone(end) * MINUTE_MS) % DAY_MS // MINUTE_MS
    night = minute >= EVENING_MIN or minute < MORNING_MIN
    return (
        [f"Its window shuts {shuts(end, now_ms, zone)}, in the night."] if night and end - now_ms < 2 * DAY_MS else []
    )


def _ahead(now_ms: int, end: int | None, trace: list) -> list:
    """The steps of the trace between two moments."""
    felt = [step for at, step in enumerate(trace) if at + 1 == len(trace) or trace[at + 1][0] > now_ms]
    return [step for step in felt if end is None or step[0] < end]
