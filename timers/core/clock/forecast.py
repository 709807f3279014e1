"""Ahead of laying a film: standing still, a window that shuts in the night.  Twin: static/js/core/clock/forecast.js"""

from ..base.shapes import Sheet, Trace, TraceStep, Zone
from ..base.states import LaidSheet
from ..base.translate import t
from ..base.units import DAY_MS, MINUTE_MS
from ..base.words import degrees, opens, shuts
from . import cure
from .cure import COLD, side_dc
from .film import gate_of

EVENING_MIN, MORNING_MIN = 21 * 60, 6 * 60  # nobody stands in the shop: common practice, no source


def warnings(sheet: Sheet, now_ms: int, trace: Trace, zone: Zone, unit: str = "c") -> list[str]:
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


def _standing_still(sheet: Sheet, opener: str, now_ms: int, trace: Trace, zone: Zone, unit: str) -> str:
    end = cure.opens_at(cure.opening(sheet, opener), now_ms, trace)
    lowest, _ = cure.limits(sheet, opener)
    cold = [] if lowest is None else [step for step in _ahead(now_ms, end, trace) if side_dc(step, COLD) < lowest]
    if cold and lowest is not None:
        words = _too_cold(cold[0], lowest, now_ms, zone, unit)
        return words if end is None else f"{words} {_then(opener, opens(end, now_ms, zone))}"
    if end is not None:
        return ""
    if opener == "sand":
        return t("It stands still: the air is too damp for sand. [[for sanding]]")
    return t("It stands still: the air is too damp for the next coat.")


def _too_cold(step: TraceStep, lowest: int, now_ms: int, zone: Zone, unit: str) -> str:
    temps = {"lowest": degrees(lowest, unit), "temp": degrees(side_dc(step, COLD), unit)}
    if step[0] <= now_ms:
        return t("It stands still now: below {lowest}, {temp} is expected.", **temps)
    begin = shuts(step[0], now_ms, zone)
    return t("It stands still from {time}: below {lowest}, {temp} is expected.", time=begin, **temps)


def _then(opener: str, time: str) -> str:
    if opener == "sand":
        return t("Sand from {time}. [[do it]]", time=time)
    return t("The next coat from {time}.", time=time)


def _shutting(sheet: Sheet, now_ms: int, trace: Trace, zone: Zone) -> list[str]:
    film: LaidSheet = {"id": "", "sheet": sheet, "laid_at": now_ms, "ask": {}, "ready": []}
    gate = gate_of(film, "flash", trace)
    end = gate["shuts_at"] if gate else None
    if not gate or not end:
        return []
    time = shuts(end, now_ms, zone)
    if gate["opens_at"] is not None and end <= gate["opens_at"]:
        return [t("Its window shuts {time}, before the next coat can go on. Sand first then.", time=time)]
    minute = (end + zone.minutes_east(end) * MINUTE_MS) % DAY_MS // MINUTE_MS
    night = minute >= EVENING_MIN or minute < MORNING_MIN
    return [t("Its window shuts {time}, in the night.", time=time)] if night and end - now_ms < 2 * DAY_MS else []


def _ahead(now_ms: int, end: int | None, trace: Trace) -> Trace:
    """The steps of the trace between two moments."""
    felt = [step for at, step in enumerate(trace) if at + 1 == len(trace) or trace[at + 1][0] > now_ms]
    return [step for step in felt if end is None or step[0] < end]
