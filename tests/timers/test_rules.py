"""The rules under the names that stay: figures worked out by hand, and the old places of one release."""

import pytest

from tests.support import core_modules
from timers import rules

HOUR_MS = 3_600_000
SHEET = {"points": [[200, 2 * HOUR_MS], [300, HOUR_MS]], "lowest_dc": 100, "highest_dc": 350, "double_dc": 100}
START = 1_741_046_400_000
OLD_PLACES = [
    ("air", "dew_point_c", "dew_point_c"),
    ("grit", "step", "grit_step"),
    ("mixing", "split", "split"),
    ("cure", "wait_ms", "wait_ms"),
    ("cure", "opens_at", "opens_at"),
    ("cure", "closes_at", "closes_at"),
]


def test_air_that_is_full_has_its_own_temperature_as_dew_point():
    assert rules.dew_point_c(20, 100) == pytest.approx(20, abs=1e-9)
    assert rules.dew_point_c(20, 50) == pytest.approx(9.26, abs=0.02)  # any psychrometric chart


def test_humidity_over_a_hundred_percent_is_refused():
    with pytest.raises(rules.Refused):
        rules.dew_point_c(20, 101)


def test_a_step_from_p80_to_p320_is_too_big_and_one_to_p120_is_not():
    assert [rules.grit_step(80, to)["ok"] for to in (120, 320)] == [True, False]
    assert rules.grit_step(80, 120)["ratio_pm"] == 1608  # grains of 201 and 125 um


def test_parts_add_up_to_the_total():
    assert rules.split(500, [4, 1]) == [400, 100]
    assert rules.split(100, [1, 1, 1]) == [34, 33, 33]


def test_a_gate_takes_what_its_points_say_and_the_geometric_mean_between_them():
    assert [rules.wait_ms(SHEET, temp) for temp in (200, 300)] == [2 * HOUR_MS, HOUR_MS]
    assert rules.wait_ms(SHEET, 250) == pytest.approx(2**0.5 * HOUR_MS, abs=1)
    assert rules.wait_ms(SHEET, 100) == 4 * HOUR_MS
    with pytest.raises(ValueError):  # noqa: PT011  colder than the sheet allows
        rules.wait_ms(SHEET, 99)


def test_a_gate_opens_by_the_colder_and_closes_by_the_warmer_side():
    trace = [[START, 200, 300, None]]
    assert rules.opens_at(SHEET, START, trace) == START + 2 * HOUR_MS
    assert rules.closes_at(SHEET, START, trace) == START + HOUR_MS
    assert rules.opens_at(SHEET, START, [[START, 50, 60, None]]) is None


@pytest.mark.parametrize(("module", "old", "new"), OLD_PLACES)
def test_the_old_places_answer_for_one_release(module, old, new):
    there = getattr(core_modules.module(module), old)
    assert there.__module__.startswith("timers.core.")
    assert there.__doc__
    assert callable(getattr(rules, new))
