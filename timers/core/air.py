"""The air of the shop: readings, and the temperature a film has felt.  Twin: static/js/core/air.js"""

from .order import standing
from .units import HOUR_MS

ASSUMED_DC = 200  # no reading yet: the temperature most sheets are given at; the screen says that it is assumed
STALE_MS = 2 * HOUR_MS


def fold(acts: list[dict]) -> dict:
    """All readings that stand, oldest first: {"readings": [[at_ms, temp_dc, rh_pm or None], ...]}."""
    reads = [act for act in standing(acts) if act["kind"] == "air_read"]
    return {"readings": [[act["at"], act["temp_dc"], act.get("rh_pm")] for act in reads]}


def trace(air: dict, surfaces: list | None = None) -> list:
    """The temperature over all time as steps [from_ms, low_dc, high_dc].

    Rule     between two readings the lower and the higher of the two; before the first and after the last, that one;
             readings at one moment count together;
             a surface reading [from_ms, until_ms or None, temp_dc] rules from its start to its end
    Unit     tenths of a degree C
    Holds    any readings in order; none at all gives the assumed temperature
    Source   design rule "two sides": never early to open, never late to close
    Vectors  tests/vectors/trace.json
    """
    reads: dict[int, list[int]] = {}
    for read in air["readings"]:
        reads.setdefault(read[0], []).append(read[1])
    moments = list(reads)
    steps = [[0, *_sides(reads[moments[0]] if reads else [ASSUMED_DC])]]
    for at, moment in enumerate(moments):
        steps.append([moment, *_sides(reads[moment] + (reads[moments[at + 1]] if at + 1 < len(moments) else []))])
    for surface in surfaces or []:
        steps = _under(steps, surface)
    return steps


def at(steps: list, now_ms: int) -> list:
    """The step of a trace in force at a moment."""
    return [step for step in steps if step[0] <= now_ms or step is steps[0]][-1]


def last_read(air: dict, now_ms: int) -> list | None:
    """The newest reading not in the future, or None."""
    past = [read for read in air["readings"] if read[0] <= now_ms]
    return past[-1] if past else None


def stale(air: dict, now_ms: int) -> bool:
    """Whether the air should be asked again: no reading within two hours."""
    read = last_read(air, now_ms)
    return read is None or now_ms - read[0] > STALE_MS


def _sides(temps: list[int]) -> tuple[int, int]:
    return min(temps), max(temps)


def _under(steps: list, surface: list) -> list:
    """A trace with one surface reading laid over it."""
    begin, end, temp = surface
    before = [step for step in steps if step[0] < begin]
    if end is None:
        return [*before, [begin, temp, temp]]
    after = [step for step in steps if step[0] > end]
    return [*before, [begin, temp, temp], [end, *at(steps, end)[1:]], *after]
