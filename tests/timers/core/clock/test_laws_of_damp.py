"""Laws of solvent and water in the air, and of grits, searched at random."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.support.laws import LAWS
from timers.core.bench import grit, voc
from timers.core.clock import air, cure, damp

TEMPS = st.integers(-400, 600)
HUMIDITIES = st.integers(0, 1000)
GRADES = st.sampled_from(sorted(grit.P_UM10))


# --- solvent ---

MIXES = st.lists(
    st.fixed_dictionaries(
        {"ml": st.floats(1, 5_000), "voc_g_per_l": st.floats(0, 900), "water_g_per_l": st.floats(0, 800)}
    ),
    min_size=1,
    max_size=8,
)


@LAWS
@given(MIXES, st.floats(1, 5_000))
def test_water_poured_in_changes_nothing_that_is_counted_without_water(parts, ml):
    wetter = [*parts[:7], {"ml": ml, "water_g_per_l": voc.WATER_G_PER_L}]
    assert voc.voc_g_per_l(wetter) == pytest.approx(voc.voc_g_per_l(parts[:7]))
    assert voc.voc_of_all_g_per_l(wetter) <= voc.voc_of_all_g_per_l(parts[:7])


@LAWS
@given(MIXES, st.floats(0.1, 10))
def test_a_mix_lies_between_its_parts_and_its_amount_does_not_matter(parts, times):
    alone = [voc.voc_g_per_l([part]) for part in parts]
    mixed = voc.voc_g_per_l(parts)
    assert min(alone) - 1e-6 <= mixed <= max(alone) + 1e-6
    assert voc.voc_g_per_l([{**part, "ml": part["ml"] * times} for part in parts]) == pytest.approx(mixed)
    assert voc.voc_of_all_g_per_l(parts) <= mixed + 1e-9


# --- damp air ---


@LAWS
@given(TEMPS, TEMPS, HUMIDITIES)
def test_warmer_air_of_the_same_humidity_has_a_higher_dew_point(one, other, rh):
    cold, warm = (air.dew_point_c(temp / 10, rh / 10) for temp in sorted((one, other)))
    assert cold < warm or one == other


@LAWS
@given(TEMPS, HUMIDITIES, HUMIDITIES)
def test_damper_air_has_a_higher_dew_point_and_takes_up_less(temp, one, other):
    dry, damp_pm = min(one, other), max(one, other)
    low, high = (air.dew_point_c(temp / 10, rh / 10) for rh in (dry, damp_pm))
    assert low <= high <= temp / 10 + 1e-9
    assert air.vpd_pa(temp / 10, dry / 10) >= air.vpd_pa(temp / 10, damp_pm / 10) >= 0


@LAWS
@given(TEMPS, st.integers(10, 1000))
def test_air_at_its_dew_point_is_full(temp, rh):
    dew = air.dew_point_c(temp / 10, rh / 10)
    assume(dew >= -45)
    held = air.saturation_pa(temp / 10) - air.vpd_pa(temp / 10, rh / 10)
    assert air.saturation_pa(dew) == pytest.approx(held)


@LAWS
@given(st.integers(0, 400), st.floats(0, 40))
def test_two_thermometers_never_give_more_than_full_air_and_less_the_further_apart(wet, apart):
    near, far = (air.rh_of_wet_bulb(min(wet / 10 + by, 60), wet / 10) for by in (apart / 2, apart))
    assert 0 <= far <= near <= 100 + 1e-9


@LAWS
@given(st.integers(-400, 1500), TEMPS, HUMIDITIES)
def test_a_margin_is_never_more_hopeful_than_the_formula_nor_two_tenths_less(surface, temp, rh):
    plain = surface - 10 * air.dew_point_c(temp / 10, rh / 10)
    margin = damp.margin_dc(surface, temp, rh)
    assert plain - 1.5 - 1e-6 <= margin <= plain + 1e-6


@LAWS
@given(st.integers(-400, 600), TEMPS, HUMIDITIES)
def test_a_coat_may_go_on_where_nothing_is_below_its_limits_and_only_there(surface, temp, rh):
    sheet = {"lowest_dc": 100, "highest_dc": 350, "highest_rh_pm": 850}
    good = min(surface, temp) >= 100 and max(surface, temp) <= 350 and rh <= 850
    good = good and damp.margin_dc(surface, temp, rh) >= damp.MARGIN_DC
    assert (damp.coat_warnings(sheet, temp, rh, surface) == []) is good


@LAWS
@given(TEMPS, st.integers(0, 950), TEMPS, HUMIDITIES, HUMIDITIES)
def test_damper_never_dries_sooner(sheet_temp, sheet_rh, temp, one, other):
    dry, wet = (damp.damp_factor(sheet_temp, sheet_rh, temp, rh) for rh in sorted((one, other)))
    assert _or_never(dry) <= _or_never(wet)
    assert damp.damp_factor(sheet_temp, sheet_rh, temp, 1000) is None


@LAWS
@given(TEMPS, st.integers(0, 950), TEMPS, HUMIDITIES)
def test_the_factor_is_rounded_up_and_stays_in_its_range(sheet_temp, sheet_rh, temp, rh):
    factor, pm = damp.damp_factor(sheet_temp, sheet_rh, temp, rh), damp.damp_factor_pm(sheet_temp, sheet_rh, temp, rh)
    assert (factor is None) is (pm is None)
    if factor is not None:
        assert damp.LEAST_PM <= pm <= damp.MOST_PM
        assert 1000 * factor - 0.002 <= pm < 1000 * factor + 1


@LAWS
@given(TEMPS, st.integers(0, 950), HUMIDITIES)
def test_at_one_temperature_the_factor_is_that_of_the_humidity_alone(temp, sheet_rh, rh):
    whole, alone = damp.damp_factor_pm(temp, sheet_rh, temp, rh), cure.humidity_factor_pm(sheet_rh, rh)
    assert whole == alone or abs(whole - alone) <= 1


# --- grits ---


@LAWS
@given(GRADES, GRADES)
def test_the_grits_put_between_make_a_ladder_of_good_steps(one, other):
    rungs = [one, *grit.between(one, other), other]
    steps = grit.ladder(rungs)
    if one <= other:
        assert all(step["ok"] for step in steps)
        assert all(coarse < fine for coarse, fine in pairwise(rungs)) or one == other
    else:
        assert [step["ok"] for step in steps] == [False]
    assert grit.step(one, other)["ok"] is (len(rungs) == 2 and one <= other)


@LAWS
@given(GRADES, GRADES, GRADES)
def test_a_finer_paper_is_a_bigger_step(start, one, other):
    ratios = [grit.step(start, grade)["ratio_pm"] for grade in sorted((one, other))]
    assert ratios[0] <= ratios[1]


@LAWS
@given(st.lists(st.integers(0, 3_000), max_size=20))
def test_any_grits_at_all_are_answered_and_a_film_between_parts_the_ladder(grits):
    steps = grit.ladder(grits)
    assert len(steps) == sum(1 for one, other in pairwise(grits) if one and other)
    assert all((step["ok"] is None) is (step["ratio_pm"] is None) for step in steps)


def _or_never(factor):
    return math.inf if factor is None else factor
