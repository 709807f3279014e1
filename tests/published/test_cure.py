"""Published figures for drying and curing against the rules, in Python and in JavaScript."""

import json
import re
from itertools import pairwise
from pathlib import Path

import pytest

from tests.support import core_modules

FIGURES = json.loads((Path(__file__).resolve().parent / "cure.json").read_text())
SECOND, MINUTE, HOUR = 1_000, 60_000, 3_600_000
DAY_BEGINS = 1_741_046_400_000  # any midnight; the rules do not care which

IN_PAGE = "async ([module, fn, args]) => (await import(`/js/core/${module}.js`))[fn](...args)"


@pytest.fixture(params=["python", pytest.param("javascript", marks=pytest.mark.browser)])
def reckon(request):
    """One way to ask a rule, `reckon("cure", "wait_ms", sheet, temp_dc)`, in each of the two languages."""
    if request.param == "python":
        return lambda module, fn, *args: getattr(core_modules.module(module), fn)(*args)
    page = request.getfixturevalue("core_page")
    return lambda module, fn, *args: page.evaluate(IN_PAGE, [core_modules.address(module), _camel(fn), list(args)])


def test_pot_life_stated_at_21_degrees_follows_the_published_rule(reckon):
    figures = FIGURES["pot_life"]
    sheet = _one_line(figures["given_c"], figures["given_min"] * MINUTE)
    for temp_c, minutes in figures["minutes_at_c"].items():
        assert reckon("cure", "wait_ms", sheet, int(temp_c) * 10) / MINUTE == pytest.approx(minutes, abs=0.05)


def test_thirty_degrees_warmer_ages_eight_times_faster(reckon):
    figures = FIGURES["accelerated_ageing"]
    sheet = _one_line(figures["ref_c"], 100 * HOUR)
    assert reckon("cure", "wait_ms", sheet, figures["t_c"] * 10) * figures["factor"] == 100 * HOUR


def test_one_line_and_the_doubling_rule_come_near_the_whole_recoat_table(reckon):
    figures = FIGURES["recoat_window"]
    low, high = figures["doubling_rule_within_pct"]
    middles = [sum(band) / 2 for band in figures["bands_c"]]
    sheet = _one_line(middles[0], figures["opens_h"][0] * HOUR)
    waits = [reckon("cure", "wait_ms", sheet, round(temp * 10)) for temp in middles]
    off = [100 * (wait / HOUR / told - 1) for wait, told in zip(waits, figures["opens_h"], strict=True)]
    assert off[0] == 0
    assert all(low <= pct <= high for pct in off), off
    assert (min(off), max(off)) == pytest.approx((low, high), abs=0.2)


@pytest.mark.parametrize("column", ["opens_h", "closes_h"])
@pytest.mark.parametrize("place", ["middle", "highest"])
def test_a_sheet_typed_from_the_recoat_table_gives_the_table_back_and_warmer_is_never_slower(reckon, column, place):
    temps = [high * 10 if place == "highest" else (low + high) * 5 for low, high in FIGURES["recoat_window"]["bands_c"]]
    points = [[temp, hours * HOUR] for temp, hours in zip(temps, FIGURES["recoat_window"][column], strict=True)]
    sheet = {"points": points}
    assert [[temp, reckon("cure", "wait_ms", sheet, temp)] for temp in temps] == points
    waits = [reckon("cure", "wait_ms", sheet, temp) for temp in range(100, 551)]
    assert all(warmer <= colder for colder, warmer in pairwise(waits))


def test_the_row_of_the_recoat_table_is_picked_by_the_lowest_for_opening_and_the_highest_for_closing(reckon):
    figures = FIGURES["recoat_window"]
    middles = [(low + high) * 5 for low, high in figures["bands_c"]]
    opens = {"points": [[temp, hours * HOUR] for temp, hours in zip(middles, figures["opens_h"], strict=True)]}
    closes = {"points": [[temp, hours * HOUR] for temp, hours in zip(middles, figures["closes_h"], strict=True)]}
    trace = [[0, middles[0], middles[3]]]  # between 18.5 and 35.5 C all day
    assert reckon("cure", "opens_at", opens, DAY_BEGINS, trace) == DAY_BEGINS + figures["opens_h"][0] * HOUR
    assert reckon("cure", "closes_at", closes, DAY_BEGINS, trace) == DAY_BEGINS + figures["closes_h"][3] * HOUR


def test_typed_at_the_safe_end_of_each_band_no_temperature_of_it_opens_early_or_closes_late(reckon):
    """The longer time belongs to the band's highest temperature, the last moment to its lowest."""
    figures = FIGURES["recoat_window"]
    rows = list(zip(figures["bands_c"], figures["opens_h"], figures["closes_h"], strict=True))
    opens = {"points": [[high * 10, hours * HOUR] for (_, high), hours, _ in rows]}
    closes = {"points": [[low * 10, hours * HOUR] for (low, _), _, hours in rows]}
    for (low, high), opens_h, closes_h in rows:
        for temp in range(low * 10, high * 10 + 1, 5):
            assert reckon("cure", "wait_ms", opens, temp) >= opens_h * HOUR
            assert reckon("cure", "wait_ms", closes, temp) <= closes_h * HOUR


def test_a_changing_temperature_adds_up_to_the_equivalent_age(reckon):
    figures = FIGURES["equivalent_age"]
    trace, end = _steps(figures["profile_h_c"])
    sheet = _one_line(20, round(figures["hours_at_20c"] * HOUR))
    for fn in ("opens_at", "closes_at"):
        assert reckon("cure", fn, sheet, DAY_BEGINS, trace) == pytest.approx(end, abs=SECOND)


def test_a_november_day_in_a_garage_is_worth_14_618_hours_at_20_degrees(reckon):
    figures = FIGURES["garage_day"]
    trace, end = _steps([[1, temp] for temp in figures["hours_ending_1_to_24_c"]])
    sheet = _one_line(20, round(figures["hours_at_20c"] * HOUR))
    for fn in ("opens_at", "closes_at"):
        assert reckon("cure", fn, sheet, DAY_BEGINS, trace) == pytest.approx(end, abs=MINUTE)


def test_averaging_the_garage_day_first_is_wrong_and_would_close_a_window_hours_late(reckon):
    figures = FIGURES["garage_day"]
    temps = figures["hours_ending_1_to_24_c"]
    mean_dc = round(10 * sum(temps) / len(temps))
    at_20c = 24 * HOUR / reckon("cure", "wait_ms", _one_line(20, HOUR), mean_dc)
    assert at_20c == pytest.approx(figures["hours_at_20c_by_the_mean_temperature"], abs=0.05)
    sheet, (trace, _) = _one_line(20, round(figures["hours_at_20c"] * HOUR)), _steps([[1, temp] for temp in temps])
    by_mean = reckon("cure", "closes_at", sheet, DAY_BEGINS, [[0, mean_dc, mean_dc]])
    assert by_mean > reckon("cure", "closes_at", sheet, DAY_BEGINS, trace) + 3 * HOUR


@pytest.mark.parametrize("laid_hour", [0, 5, 8, 12, 17, 22])
@pytest.mark.parametrize("wait", [20 * MINUTE, 3 * HOUR, 8 * HOUR], ids=["20min", "3h", "8h"])
def test_with_hourly_readings_nothing_opens_early_and_nothing_closes_late(reckon, laid_hour, wait):
    temps = FIGURES["garage_day"]["hours_ending_1_to_24_c"]
    readings = [[DAY_BEGINS + (at + 1) * HOUR, round(temp * 10), None] for at, temp in enumerate(temps)]
    laid = DAY_BEGINS + laid_hour * HOUR
    true = _fine_sum(readings, laid, wait)
    trace = reckon("air", "trace", {"readings": readings})
    assert reckon("cure", "opens_at", _one_line(20, wait), laid, trace) >= true - SECOND
    assert reckon("cure", "closes_at", _one_line(20, wait), laid, trace) <= true + SECOND


@pytest.mark.parametrize("temp_c", range(FIGURES["putty"]["from_c"], FIGURES["putty"]["to_c"] + 1))
def test_a_putty_at_twenty_to_twenty_four_degrees_is_offered_at_about_twenty_minutes(reckon, temp_c):
    times = reckon("film", "times", _puttied_panel(), [[0, temp_c * 10, temp_c * 10]])
    assert times["opens_at"] - DAY_BEGINS == FIGURES["putty"]["about_min"] * MINUTE
    assert not times["beyond"]


def test_a_putty_laid_at_fourteen_degrees_is_not_called_sandable_at_twenty_minutes(reckon):
    panel, trace = _puttied_panel(), [[0, 140, 140]]
    times = reckon("film", "times", panel, trace)
    assert reckon("panel_card", "mode_of", panel, times, trace, DAY_BEGINS + 20 * MINUTE) == "wait"
    assert reckon("panel_card", "mode_of", panel, times, trace, DAY_BEGINS + 31 * MINUTE) == "try"
    assert times["beyond"]


def _puttied_panel():
    """A panel to be sanded, its putty typed as a shop types it: 15 to 20 minutes from 20 to 24 C."""
    figures = FIGURES["putty"]
    lines = [[temp * 10, 15 * MINUTE, figures["about_min"] * MINUTE] for temp in (figures["from_c"], figures["to_c"])]
    sheet = {"name": "Putty", "cls": "putty", "gates": {"sand": lines}}
    film = {"id": "f1", "step": "s1", "area": "", "coat": 1, "laid_at": DAY_BEGINS, "product": "p1", "sheet": sheet}
    step = {"id": "s2", "do": "sand", "words": "Sand", "cls": "", "coats": 1, "grit": 180, "area": "", "laid": 0}
    return {
        "name": "Door",
        "job": "",
        "added_at": DAY_BEGINS,
        "away_at": None,
        "steps": [{**step, "done_at": None}],
        "films": [{**film, "sanded": [], "ready": [], "ask": {}}],
    }


def _one_line(temp_c, wait_ms):
    return {"points": [[round(temp_c * 10), wait_ms]]}


def _steps(profile):
    """A trace of steady stretches [[hours, degrees C], ...] from the day's beginning, and the moment it ends."""
    at, trace = DAY_BEGINS, []
    for hours, temp_c in profile:
        trace.append([at, round(temp_c * 10), round(temp_c * 10)])
        at += hours * HOUR
    return trace, at


def _fine_sum(readings, laid, wait, slice_ms=5 * SECOND):
    """When the doubling rule adds up to one, in slices of five seconds, the temperature straight between readings."""
    gained, at = 0.0, laid
    while True:
        temp_c = _between(readings, at + slice_ms / 2) / 10
        gain = slice_ms / (wait * 2 ** ((20 - temp_c) / 10))
        if gained + gain >= 1:
            return at + slice_ms * (1 - gained) / gain
        gained, at = gained + gain, at + slice_ms


def _between(readings, at):
    """Tenths of a degree C at a moment: a straight line between readings, the first before them, the last after."""
    if at <= readings[0][0]:
        return readings[0][1]
    for (begin, cold, _), (end, warm, _) in pairwise(readings):
        if at <= end:
            return cold + (warm - cold) * (at - begin) / (end - begin)
    return readings[-1][1]


def _camel(fn):
    return re.sub(r"_(\w)", lambda found: found[1].upper(), fn)
