"""The air of the shop: readings, the temperature a film has felt, and the water in it.  Twin: static/js/core/air.js"""

import math

from .check import Refused
from .measures import within
from .order import standing
from .units import HOUR_MS

ASSUMED_DC = 200  # no reading yet: the temperature most sheets are given at; the screen says that it is assumed
STALE_MS = 2 * HOUR_MS
PRESSURE_HPA = 1013.25  # the standard atmosphere; 500 m up it is 6 % less, which moves a wet bulb's humidity by about 1
DRIEST_PCT = 1  # drier air has hardly a dew point; it counts as this, which can only make the dew point too high


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


def saturation_pa(temp_c: float) -> float:
    """The pressure of water vapour over water at a temperature: all that the air can hold.

    Rule     Magnus over water, 611.2 exp(17.62 t / (243.12 + t))
    Unit     degrees C in, Pa out
    Holds    -45 to 60 C; else refuses
    Source   WMO-No. 8, Annex 4.B
    Vectors  tests/vectors/air.json
    """
    within("The temperature", temp_c, -45, 60, "°C")
    return 611.2 * math.exp(17.62 * temp_c / (243.12 + temp_c))


def dew_point_c(temp_c: float, rh_pct: float) -> float:
    """The temperature at which water begins to settle out of this air.

    Rule     Magnus over water, solved for the temperature; below 0 C frost settles up to 2 C sooner
    Unit     degrees C and percent in, degrees C out
    Holds    -45 to 60 C, 0 to 100 %, else refuses; drier than 1 % counts as 1 %
    Source   WMO-No. 8, Annex 4.B; within 0.05 C of two reference libraries (tests/published/air.json)
    Vectors  tests/vectors/air.json
    """
    _check_damp(temp_c, rh_pct)
    grown = math.log(max(rh_pct, DRIEST_PCT) / 100) + 17.62 * temp_c / (243.12 + temp_c)
    return 243.12 * grown / (17.62 - grown)


def vpd_pa(temp_c: float, rh_pct: float) -> float:
    """The vapour-pressure deficit: how much more water this air would take up.

    Rule     what the air can hold, less what it holds
    Unit     degrees C and percent in, Pa out
    Holds    -45 to 60 C, 0 to 100 %, else refuses; 0 at 100 %
    Source   definition of relative humidity, WMO-No. 8, Annex 4.B
    Vectors  tests/vectors/air.json
    """
    _check_damp(temp_c, rh_pct)
    return saturation_pa(temp_c) * (100 - rh_pct) / 100


def rh_of_wet_bulb(temp_c: float, wet_c: float) -> float:
    """The humidity from two thermometers, one in a wet wick with air drawn or swung past it.

    Rule     e = saturation at the wet bulb - 0.00066 (1 + 0.00115 tw) p (t - tw)
    Unit     degrees C in, percent out, 0 where the pair gives less
    Holds    dry 0 to 60 C, wet 0 C to the dry one, else refuses; at 1013 hPa
    Source   psychrometric formula, Glossary of Meteorology (American Meteorological Society)
    Vectors  tests/vectors/air.json
    """
    within("The dry thermometer", temp_c, 0, 60, "°C")
    within("The wet thermometer", wet_c, 0, 60, "°C")
    if wet_c > temp_c:
        raise Refused("The wet thermometer cannot read more than the dry one. Nothing was saved.")
    taken = 100 * 0.00066 * (1 + 0.00115 * wet_c) * PRESSURE_HPA * (temp_c - wet_c)
    return max(0.0, 100 * (saturation_pa(wet_c) - taken) / saturation_pa(temp_c))


def _check_damp(temp_c: float, rh_pct: float) -> None:
    within("The temperature", temp_c, -45, 60, "°C")
    within("The humidity", rh_pct, 0, 100, "%")


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
