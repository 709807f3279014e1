"""How far a film has come: waits, openings and closings.  Twin: static/js/core/clock/cure.js

A sheet here is one gate, one side: {"points": [[temp_dc, wait_ms], ...] by rising temperature, "lowest_dc",
"highest_dc", "double_dc", "rh_pm" (of a waterborne product's flash: the humidity of the sheet's times)}.  A trace is
the temperature since long ago as steps: [[from_ms, low_dc, high_dc, damper_pm], ...], each lasting until the next, the
last for good; the fourth may be missing.  COLD and HOT are the sides of a step: its lower and its higher reading.
"""

from collections.abc import Iterator

from ..base.check import number
from ..base.shapes import GateSide, Sheet, Trace, TraceStep
from ..base.translate import later
from ..base.units import FAR_MS, clamp, down, up, whole
from ..fold.order import first_after

COLD, HOT = 1, 2
LEAST_PM, MOST_PM = 250, 20_000  # our own rule: no flash in under a quarter of its time; over twenty times stands still
EDGE = 1e-12  # ten tenths add up to a little less than one
DOUBLE_DC = 100  # UFGS 09971, 3.7.1.3: about doubles for each 10 C colder, about halves for each 10 C warmer


class TooCold(ValueError):
    """Below the product's lowest temperature: the film stands still."""


def wait_ms(sheet: GateSide, temp_dc: int) -> int:
    """How long this gate takes at a steady temperature.

    Rule     log-linear in C between the sheet's points; beyond them, double per step colder, halve per step warmer
    Unit     tenths of a degree C in, ms out
    Holds    lowest_dc and up (colder raises TooCold); above highest_dc as at highest_dc; at most ten years
    Source   UFGS 09971, 3.7.1.3 (the doubling step); the product's own sheet (the points)
    Vectors  tests/vectors/wait.json
    """
    return whole(_wait(sheet, temp_dc))


def opens_at(sheet: GateSide, start_ms: int, trace: Trace) -> int | None:
    """When an opening gate is reached: reckoned with the lower reading of each step, never early; None: stands still.

    Rule     the film gains 1 / wait(T) each ms; reached when the sum is 1
    Unit     ms since 1970 UTC
    Holds    any trace with at least one step
    Source   equivalent age, the definition in ASTM C1074
    Vectors  tests/vectors/reach.json
    """
    reached = _reached(sheet, start_ms, trace, COLD)
    return None if reached is None else up(reached)


def closes_at(sheet: GateSide, start_ms: int, trace: Trace) -> int | None:
    """When a closing gate is reached: reckoned with the higher reading of each step, never late.  Else as opens_at."""
    reached = _reached(sheet, start_ms, trace, HOT)
    return None if reached is None else down(reached)


def opening(sheet: Sheet, gate: str) -> GateSide:
    """A product's gate seen from the side that opens: the longer time of each range, and the product's limits."""
    lowest, highest = limits(sheet, gate)
    side: GateSide = {
        "points": [(temp, longer) for temp, _, longer in sheet["gates"][gate]],
        "lowest_dc": lowest,
        "highest_dc": highest,
        "double_dc": sheet.get("double_dc") or DOUBLE_DC,
    }
    rh_pm = sheet.get("sheet_rh_pm")
    if gate == "flash" and rh_pm is not None:
        side["rh_pm"] = rh_pm
    return side


def limits(sheet: Sheet, gate: str) -> tuple[int | None, int | None]:
    """The lowest and the highest temperature that a gate is reached at.

    Rule     those to cure at; without them those to apply at, which a line of the gate above the highest raises: a bake
             line is there to be used
    Unit     tenths of a degree C; None where the sheet gives none
    Holds    a sheet as a film keeps it, from before there were two pairs too
    Source   own rule
    Vectors  tests/vectors/times.json
    """
    lowest, highest = sheet.get("cure_lowest_dc"), sheet.get("cure_highest_dc")
    lowest = sheet.get("lowest_dc") if lowest is None else lowest
    applied = sheet.get("highest_dc")
    if highest is None and applied is not None:
        highest = max([applied, *(line[0] for line in sheet["gates"].get(gate, [])[-1:])])
    return lowest, highest


def closing(sheet: Sheet, gate: str) -> GateSide:
    """A product's gate seen from the side that closes: the shorter time, and no limits, since a film that is too
    cold to be sanded still ages and one that is too hot shuts sooner, not later."""
    points = [(temp, shorter) for temp, shorter, _ in sheet["gates"][gate]]
    return {"points": points, "double_dc": sheet.get("double_dc") or DOUBLE_DC}


def beyond(sheet: GateSide, start_ms: int, end_ms: int, trace: Trace, side: int) -> bool:
    """Whether any temperature between two moments lies outside the sheet's own points."""
    first, last = sheet["points"][0][0], sheet["points"][-1][0]
    for begin, _, step in _steps(start_ms, trace):
        if begin > end_ms:
            return False
        if not first <= side_dc(step, side) <= last:
            return True
    return False


def side_dc(step: TraceStep, side: int) -> int:
    """The temperature of a step from one of its sides."""
    return step[1] if side == COLD else step[2]


def humidity_factor_pm(sheet_rh_pm: int, rh_pm: int) -> int | None:
    """How many times longer by humidity alone, for a wait that already follows the temperature; None: stands still.

    Rule     (100 % - the sheet's humidity) / (100 % - this humidity): the deficit's ratio at one temperature
    Unit     per mille in, per mille out, rounded up
    Holds    from a quarter to twenty times; damper than that the film stands still; the sheet's air up to 95 %
    Source   as damp.damp_factor
    Vectors  tests/vectors/humid.json
    """
    number(later("The sheet's humidity"), sheet_rh_pm, 0, 950, 10, "%")
    number(later("The humidity"), rh_pm, 0, 1000, 10, "%")
    return _longer_pm(sheet_rh_pm, rh_pm)


def _longer_pm(sheet_rh_pm: int, rh_pm: int) -> int | None:
    """The factor of figures that were checked when they were kept: a clock asks for it at every step of the air."""
    dry_pm, now_pm = 1000 - sheet_rh_pm, 1000 - rh_pm
    if dry_pm * 1000 > now_pm * MOST_PM:
        return None
    return clamp(-(-dry_pm * 1000 // now_pm), LEAST_PM, MOST_PM)


def _reached(sheet: GateSide, start_ms: int, trace: Trace, side: int) -> float | None:
    gained = 0.0
    waits: dict[tuple[int, int | None], float | None] = {}  # the air comes back to the same figures again and again
    for begin, end, step in _steps(start_ms, trace):
        air = (side_dc(step, side), step[3] if len(step) > 3 else None)
        if air not in waits:
            waits[air] = _wait_in(sheet, *air)
        wait = waits[air]
        if wait is None:
            continue
        if end is None or gained + (end - begin) / wait >= 1 - EDGE:
            return begin + (1 - gained) * wait
        gained += (end - begin) / wait
    return None


def _wait_in(sheet: GateSide, temp_dc: int, damp_pm: int | None) -> float | None:
    """The wait in some air; None: the film stands still."""
    factor = None if _too_cold(sheet, temp_dc) else _damp_factor(sheet, damp_pm)
    return None if factor is None else _wait(sheet, temp_dc) * factor


def _damp_factor(sheet: GateSide, damp_pm: int | None) -> float | None:
    """How many times longer in damp air, for a sheet that says at what humidity its times hold; None: too damp."""
    sheet_rh_pm = sheet.get("rh_pm")
    if sheet_rh_pm is None or damp_pm is None:
        return 1.0
    factor_pm = _longer_pm(sheet_rh_pm, damp_pm)
    return None if factor_pm is None else factor_pm / 1000


def _steps(start_ms: int, trace: Trace) -> Iterator[tuple[int, int | None, TraceStep]]:
    """The trace from a moment on, as (begin, end or None, step); the first step also covers all time before it."""
    first = max(0, first_after(trace, start_ms) - 1)  # all before it has ended
    for at in range(first, len(trace)):
        step = trace[at]
        begin = start_ms if at == 0 else max(start_ms, step[0])
        end = trace[at + 1][0] if at + 1 < len(trace) else None
        if end is None or end > begin:
            yield begin, end, step


def _too_cold(sheet: GateSide, temp_dc: int) -> bool:
    lowest = sheet.get("lowest_dc")
    return lowest is not None and temp_dc < lowest


def _wait(sheet: GateSide, temp_dc: int) -> float:
    if _too_cold(sheet, temp_dc):
        raise TooCold(f"{temp_dc} is below {sheet.get('lowest_dc')} tenths of a degree C")
    highest = sheet.get("highest_dc")
    temp_dc = temp_dc if highest is None else min(temp_dc, highest)
    return min(max(_on_curve(sheet["points"], temp_dc, sheet.get("double_dc") or DOUBLE_DC), 1.0), float(FAR_MS))


def _on_curve(points: list[tuple[int, int]], temp_dc: int, double_dc: int) -> float:
    first, last = points[0], points[-1]
    if temp_dc <= first[0]:
        return _doubled(first, temp_dc, double_dc)
    if temp_dc >= last[0]:
        return _doubled(last, temp_dc, double_dc)
    after = next(at for at, point in enumerate(points) if point[0] > temp_dc)
    (colder, slower), (warmer, faster) = points[after - 1], points[after]
    wait: float = slower * (faster / slower) ** ((temp_dc - colder) / (warmer - colder))
    return wait


def _doubled(point: tuple[int, int], temp_dc: int, double_dc: int) -> float:
    """The wait beyond a point of the sheet: double per step colder, half per step warmer."""
    temp, wait_ms = point
    wait: float = wait_ms * 2.0 ** ((temp - temp_dc) / double_dc)
    return wait
