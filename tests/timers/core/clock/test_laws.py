"""Laws of the clocks and of the log, searched at random: nothing opens early, nothing closes late, order is nothing."""

import math
from itertools import pairwise

from hypothesis import given
from hypothesis import strategies as st

from tests.support.laws import LAWS, START, TEMPS
from timers.core.base.units import DAY_MS, FAR_MS, HOUR_MS, MINUTE_MS
from timers.core.clock import air, cure

SECOND_MS = 1_000


@st.composite
def sheets(draw, limits=True):
    """One gate's sheet: one to four lines, warmer never slower; some have limits and a doubling step of their own."""
    temps = sorted(draw(st.sets(TEMPS, min_size=1, max_size=4)))
    waits = sorted((draw(st.integers(60 * SECOND_MS, 30 * DAY_MS)) for _ in temps), reverse=True)
    sheet = {"points": [list(line) for line in zip(temps, waits, strict=True)]}
    if limits:
        sheet["lowest_dc"] = draw(st.none() | st.integers(-100, 150))
        sheet["highest_dc"] = draw(st.none() | st.integers(200, 500))
    return {**sheet, "double_dc": draw(st.sampled_from([None, 50, 100, 150]))}


@st.composite
def readings(draw, least=1):
    """Readings in order, around the moment of laying, minutes to a day apart."""
    at, reads = START - draw(st.integers(0, 6)) * HOUR_MS, []
    for _ in range(draw(st.integers(least, 6))):
        reads.append([at, draw(TEMPS), None])
        at += draw(st.sampled_from([MINUTE_MS, 20 * MINUTE_MS, HOUR_MS, 5 * HOUR_MS, DAY_MS])) + draw(
            st.integers(0, 999)
        )
    return reads


# --- cure ---


@LAWS
@given(sheets(), TEMPS, TEMPS)
def test_warmer_is_never_slower(sheet, one, other):
    cold, warm = min(one, other), max(one, other)
    lowest = sheet["lowest_dc"]
    if lowest is None or cold >= lowest:
        assert cure.wait_ms(sheet, warm) <= cure.wait_ms(sheet, cold)


@LAWS
@given(sheets(), TEMPS)
def test_a_wait_is_the_wait_of_a_plain_sum_in_logarithms(sheet, temp):
    plain = _plain_wait(sheet, temp)
    if plain == math.inf:
        assert cure.opens_at(sheet, START, [[0, temp, temp]]) is None
    else:
        assert math.isclose(cure.wait_ms(sheet, temp), plain, abs_tol=0.51, rel_tol=1e-9)


@LAWS
@given(sheets(), readings(), st.data())
def test_on_any_path_between_the_readings_nothing_opens_early(sheet, reads, data):
    true = _reached_on(_path(reads, data), sheet)
    opens = cure.opens_at(sheet, START, air.trace({"readings": reads}))
    assert _or_never(opens) >= true - _slack(true)


@LAWS
@given(sheets(limits=False), readings(), st.data())
def test_on_any_path_between_the_readings_nothing_closes_late(sheet, reads, data):
    true = _reached_on(_path(reads, data), sheet)
    closes = cure.closes_at(sheet, START, air.trace({"readings": reads}))
    assert START <= closes <= true + _slack(true)


@LAWS
@given(sheets(), readings(), st.integers(1, DAY_MS), st.integers(1, 300))
def test_a_later_colder_reading_never_brings_an_opening_forward(sheet, reads, later_ms, colder):
    more = [*reads, [reads[-1][0] + later_ms, reads[-1][1] - colder, None]]
    before, after = (cure.opens_at(sheet, START, air.trace({"readings": some})) for some in (reads, more))
    assert _or_never(after) >= _or_never(before) - 1  # a ms: the sum is added up in other pieces


@LAWS
@given(sheets(limits=False), readings(), st.integers(1, DAY_MS), st.integers(1, 300))
def test_a_later_warmer_reading_never_pushes_a_closing_back(sheet, reads, later_ms, warmer):
    more = [*reads, [reads[-1][0] + later_ms, reads[-1][1] + warmer, None]]
    before, after = (cure.closes_at(sheet, START, air.trace({"readings": some})) for some in (reads, more))
    assert after <= before + 1


@LAWS
@given(sheets(limits=False), readings())
def test_of_one_sheet_the_closing_never_lies_after_the_opening(sheet, reads):
    trace = air.trace({"readings": reads})
    assert cure.closes_at(sheet, START, trace) <= cure.opens_at(sheet, START, trace)


@LAWS
@given(sheets(), readings(), st.integers(0, 3 * DAY_MS))
def test_of_two_films_of_one_product_the_later_laid_never_opens_first(sheet, reads, later_ms):
    trace = air.trace({"readings": reads})
    first, second = (cure.opens_at(sheet, START + ms, trace) for ms in (0, later_ms))
    assert _or_never(second) >= _or_never(first) - 1


@LAWS
@given(readings(least=0), st.integers(-DAY_MS, 3 * DAY_MS))
def test_the_trace_holds_the_readings_on_both_sides_of_every_moment(reads, ms):
    _, low, high = air.at(air.trace({"readings": reads}), START + ms)
    before = [read[1] for read in reads if read[0] <= START + ms][-1:]
    after = [read[1] for read in reads if read[0] > START + ms][:1]
    near = before + after or [air.ASSUMED_DC]
    assert (low, high) == (min(near), max(near))


# --- the plain sums the rules are held against ---


def _plain_wait(sheet, temp):
    """The wait at a temperature, in logarithms; never for a film that stands still."""
    if sheet.get("lowest_dc") is not None and temp < sheet["lowest_dc"]:
        return math.inf
    temp = min(temp, sheet.get("highest_dc") or math.inf)
    points, double = sheet["points"], sheet.get("double_dc") or 100
    inner = [pair for pair in pairwise(points) if pair[0][0] <= temp <= pair[1][0]]
    if inner:
        (cold, slow), (warm, fast) = inner[0]
        share = (temp - cold) / (warm - cold)
        return math.exp((1 - share) * math.log(slow) + share * math.log(fast))
    end, wait = points[0] if temp <= points[0][0] else points[-1]
    return min(max(wait * math.exp((end - temp) / double * math.log(2)), 1), FAR_MS)


def _path(reads, data):
    """A path of temperatures that keeps between the readings: [[from_ms, temp], ...], the last for good."""
    path = [[-math.inf, reads[0][1]]]
    for (begin, one, _), (end, other, _) in pairwise(reads):
        shares = data.draw(st.lists(st.floats(0, 1), min_size=1, max_size=4))
        piece = (end - begin) / len(shares)
        path += [[begin + at * piece, one + share * (other - one)] for at, share in enumerate(shares)]
    return [*path, [reads[-1][0], reads[-1][1]]]


def _reached_on(path, sheet):
    """When a film laid at START is through on a path of steady pieces."""
    gained = 0.0
    for (since, temp), (end, _) in pairwise([*path, [math.inf, None]]):
        begin, wait = max(since, START), _plain_wait(sheet, temp)
        if end <= begin or wait == math.inf:
            continue
        if gained + (end - begin) / wait >= 1 - 1e-12:
            return begin + (1 - gained) * wait
        gained += (end - begin) / wait
    return math.inf


def _slack(moment):
    """A ms, and a billionth of the time it took: the two sums are made in different ways."""
    return 1 + (0 if moment == math.inf else 1e-9 * (moment - START))


def _or_never(moment):
    return math.inf if moment is None else moment
