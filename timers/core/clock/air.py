"""The air of the shop: readings, the temperature a film has felt, and the water in it.

Twin: static/js/core/clock/air.js"""

import math
from collections.abc import Iterator
from typing import cast

from ..base.check import Refused
from ..base.measures import within
from ..base.shapes import Act, Reading, Surface, Trace, TraceStep
from ..base.states import AirState
from ..base.translate import t
from ..base.units import DAY_MS, HOUR_MS
from ..fold.order import in_order, standing
from . import heat

ASSUMED_DC = 200  # no reading yet: the temperature most sheets are given at; the screen says that it is assumed
STALE_MS = 2 * HOUR_MS
FINE_MS, LONG_MS = 14 * DAY_MS, 90 * DAY_MS  # our own rule: every reading; of each day three; older than that none
PRESSURE_HPA = 1013.25  # the standard atmosphere; 500 m up it is 6 % less, which moves a wet bulb's humidity by about 1
DRIEST_PCT = 1  # drier air has hardly a dew point; it counts as this, which can only make the dew point too high


def fold(acts: list[Act]) -> AirState:
    """All readings needed that stand and what is expected, oldest first: {"readings": [[at_ms, temp_dc, rh_pm or None],
    ...], "expected": [[for_ms, temp_dc], ...]}; of two expected for one moment the later word counts.  What is left of
    a day long ago counts together from its beginning (UTC), beside what was left of the day before, which held until
    the first reading of the day: so no hour of it is taken for warmer or colder than it may have been."""
    fine, acts = _fine_from(acts), standing(needed(acts))
    reads = [(act["at"], act["temp_dc"], act.get("rh_pm")) for act in acts if act["kind"] == "air_read"]
    expected = {act["for_ms"]: act["temp_dc"] for act in acts if act["kind"] == "air_expected"}
    old = _by_day([read for read in reads if read[0] < fine])
    return {"readings": old + [read for read in reads if read[0] >= fine], "expected": sorted(expected.items())}


def needed(acts: list[Act]) -> list[Act]:
    """The acts that clocks still need, so that a thermometer's year does not make the air slow.

    Rule     every reading of the 14 days before the newest; of each day (UTC) before, down to the day
             90 days ago, the coldest, the warmest and the dampest, the earliest of equals; what is expected for those
             14 days and later; all else
    Unit     ms since 1970 UTC
    Holds    any checked acts of the air; undoing changes nothing here, so the order of arrival does not matter:
             needed(needed(one) + other) is needed(one + other)
    Source   our own rule; a film laid longer ago goes by the coldest and the warmest of each day: it can only open
             later and close sooner (tests/timers/core/clock/test_air_needed.py)
    Vectors  tests/vectors/needed.json
    """
    fine = _fine_from(acts)
    long_from = (fine - LONG_MS + FINE_MS) // DAY_MS * DAY_MS  # a day is kept whole or not at all
    reads = [act for act in in_order(acts) if act["kind"] == "air_read"]
    kept = _of_each_day([read for read in reads if long_from <= read["at"] < fine])
    return [
        act
        for act in acts
        if (act["kind"] != "air_read" or act["at"] >= fine or act["id"] in kept)
        and (act["kind"] != "air_expected" or act["for_ms"] >= fine)
    ]


def trace(air: AirState, surfaces: list[Surface] | None = None) -> Trace:
    """The temperature over all time as steps [from_ms, low_dc, high_dc], and as a fourth the damper humidity in per
    mille (None before the first that was read) when any reading tells one.

    Rule     between two readings the lower and the higher of the two; before the first and after the last, that one;
             readings at one moment count together; what is expected counts as readings every hour on a straight line
             from the last one to it, until a later reading is there;
             a surface reading [from_ms, until_ms or None, temp_dc] rules from its start to its end; one with warm_ms
             and cool_ms behind it counts, while it warms and cools, as anything between the air and it
    Unit     tenths of a degree C, per mille
    Holds    any readings in order; none at all gives the assumed temperature
    Source   design rule "two sides": never early to open, never late to close
    Vectors  tests/vectors/trace.json
    """
    reads = _reads(air)
    moments = list(reads)
    steps = [_step(0, reads[moments[0]] if moments else [(ASSUMED_DC, None)])]
    for at, moment in enumerate(moments):
        steps.append(_step(moment, reads[moment] + (reads[moments[at + 1]] if at + 1 < len(moments) else [])))
    for surface in surfaces or []:
        heat.rule_over(steps, surface)
    if any(step[3] is not None for step in steps):
        return steps
    return [cast(TraceStep, step[:3]) for step in steps]


at = heat.at


def last_read(air: AirState, now_ms: int) -> Reading | None:
    """The newest reading not in the future, or None."""
    past = [read for read in air["readings"] if read[0] <= now_ms]
    return past[-1] if past else None


def stale(air: AirState, now_ms: int) -> bool:
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
    within(t("The temperature"), temp_c, -45, 60, "°C")
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
    exponent = math.log(max(rh_pct, DRIEST_PCT) / 100) + 17.62 * temp_c / (243.12 + temp_c)
    return 243.12 * exponent / (17.62 - exponent)


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
    within(t("The dry thermometer"), temp_c, 0, 60, "°C")
    within(t("The wet thermometer"), wet_c, 0, 60, "°C")
    if wet_c > temp_c:
        raise Refused(t("The wet thermometer cannot read more than the dry one. Nothing was saved."))
    cooling = 100 * 0.00066 * (1 + 0.00115 * wet_c) * PRESSURE_HPA * (temp_c - wet_c)
    return max(0.0, 100 * (saturation_pa(wet_c) - cooling) / saturation_pa(temp_c))


def _check_damp(temp_c: float, rh_pct: float) -> None:
    within(t("The temperature"), temp_c, -45, 60, "°C")
    within(t("The humidity"), rh_pct, 0, 100, "%")


def _by_day(reads: list[Reading]) -> list[Reading]:
    days: dict[int, list[Reading]] = {}
    for read in reads:
        days.setdefault(read[0] // DAY_MS * DAY_MS, []).append(read)
    by_day: list[Reading] = []
    before: list[Reading] = []
    for day, own in days.items():
        by_day += [(day, temp_dc, rh_pm) for _, temp_dc, rh_pm in before + own]
        before = own
    return by_day


def _fine_from(acts: list[Act]) -> int:
    """From when on every reading is needed."""
    return max((act["at"] for act in acts if act["kind"] == "air_read"), default=FINE_MS) - FINE_MS


def _of_each_day(reads: list[Act]) -> set[str]:
    """Ids of the coldest, the warmest and the dampest reading of each day."""
    most: dict[tuple[int, str], tuple[int, str]] = {}
    for read in reads:
        for mark, value in (("cold", -read["temp_dc"]), ("warm", read["temp_dc"]), ("damp", read.get("rh_pm"))):
            key = (read["at"] // DAY_MS, mark)
            if value is not None and (key not in most or most[key][0] < value):
                most[key] = (value, read["id"])
    return {read_id for _, read_id in most.values()}


def _reads(air: AirState) -> dict[int, list[tuple[int, int | None]]]:
    """Moments in order, each with all that was read or is expected then: (temp_dc, rh_pm); where no gauge was read, the
    humidity read before it, None where there is none."""
    reads: dict[int, list[tuple[int, int | None]]] = {}
    damp: int | None = None
    for read in air["readings"]:
        damp = read[2] if len(read) > 2 and read[2] is not None else damp
        reads.setdefault(read[0], []).append((read[1], damp))
    for moment, temp_dc in _ramps(air):
        reads[moment] = [(temp_dc, damp)]
    return reads


def _ramps(air: AirState) -> Iterator[tuple[int, int]]:
    """What is expected after the last reading, and every full hour on the way there in a straight line: a putty that is
    sanded in 20 minutes does not care how cold the night will be."""
    newest = air["readings"][-1] if air["readings"] else None
    last = (newest[0], newest[1]) if newest else None
    for moment, temp_dc in air.get("expected", []):
        if last and moment <= last[0]:
            continue
        begin, from_dc = last or (moment, temp_dc)
        for at in range(begin + HOUR_MS, moment, HOUR_MS):
            yield at, from_dc + (temp_dc - from_dc) * (at - begin) // (moment - begin)
        yield moment, temp_dc
        last = (moment, temp_dc)


def _step(from_ms: int, reads: list[tuple[int, int | None]]) -> TraceStep:
    """A step of readings that count together: lowest, highest, dampest."""
    temps, damps = [temp for temp, _ in reads], [damp for _, damp in reads if damp is not None]
    return (from_ms, min(temps), max(temps), max(damps, default=None))
