"""Laws of the cup: parts, marks, grams, hardener, coverage, cups; searched at random."""

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from tests.support.laws import LAWS
from timers.core.base import measures
from timers.core.base.check import Refused
from timers.core.base.units import MINUTE_MS
from timers.core.bench import cover, mixing

TOTALS = st.integers(1, 3_000) | st.integers(1, 1_000_000)
PARTS = st.lists(st.integers(1, 2_000), min_size=1, max_size=8)
RATIOS = st.sampled_from([[4, 1, 1], [2, 1], [100, 2], [1000, 20], [3, 1, 1], [1, 1]]) | PARTS
SOLIDS, FILMS, TRANSFERS = st.floats(1, 100), st.floats(1, 5_000), st.floats(1, 100)


def split_or_none(total, parts):
    """A split, or None where a part of it would come to nothing."""
    return or_none("comes to nothing", mixing.split, total, parts)


def or_none(words, rule, *args):
    """What a rule answers, or None where it refuses in these words and no others."""
    try:
        return rule(*args)
    except Refused as why:
        if words in str(why):
            return None
        raise


# --- parts ---


@LAWS
@given(TOTALS, RATIOS)
def test_parts_add_up_to_the_total_and_none_is_a_whole_unit_from_its_share(total, parts):
    amounts = split_or_none(total, parts)
    if amounts is None:
        assert min(total * part / sum(parts) for part in parts) < 1
        return
    assert sum(amounts) == total
    assert all(amount > 0 for amount in amounts)
    assert all(
        abs(amount * sum(parts) - total * part) < sum(parts) for amount, part in zip(amounts, parts, strict=True)
    )


@LAWS
@given(TOTALS, RATIOS)
def test_marks_rise_and_end_at_the_total(total, parts):
    amounts = split_or_none(total, parts)
    assume(amounts)
    marks = mixing.marks(amounts)
    assert marks[-1] == total
    assert all(lower < higher for lower, higher in pairwise([0, *marks]))


@LAWS
@given(st.integers(1, 600), RATIOS)
def test_a_total_that_the_ratio_divides_is_split_without_a_remainder_and_scales(times, parts):
    amounts = mixing.split(times * sum(parts), parts)
    assert amounts == [times * part for part in parts]
    assert mixing.ratio_drift_pm(amounts, parts) == [0] * len(parts)


@LAWS
@given(TOTALS, RATIOS, st.integers(2, 50))
def test_a_ratio_in_larger_numbers_is_the_same_ratio(total, parts, times):
    assert split_or_none(total, parts) == split_or_none(total, [times * part for part in parts])


@LAWS
@given(TOTALS, RATIOS, st.data())
def test_a_larger_part_never_gets_less(total, parts, data):
    amounts = split_or_none(total, parts)
    assume(amounts)
    one, other = data.draw(st.integers(0, len(parts) - 1)), data.draw(st.integers(0, len(parts) - 1))
    if parts[one] > parts[other]:
        assert amounts[one] >= amounts[other]


@LAWS
@given(st.integers(1, 600), RATIOS, st.data())
def test_what_goes_with_one_part_is_the_whole_mix_again(times, parts, data):
    amounts = [times * part for part in parts]
    index = data.draw(st.integers(0, len(parts) - 1))
    assert mixing.from_part(amounts[index], index, parts) == amounts


@LAWS
@given(TOTALS, RATIOS, st.data())
def test_what_goes_with_one_part_is_within_half_a_unit_and_leaves_that_part_as_it_is(amount, parts, data):
    index = data.draw(st.integers(0, len(parts) - 1))
    amounts = or_none("comes to nothing", mixing.from_part, amount, index, parts)
    if amounts is None:
        assert min(amount * part / parts[index] for part in parts) < 0.5
        return
    assert amounts[index] == amount
    assert all(abs(got - amount * part / parts[index]) <= 0.5 for got, part in zip(amounts, parts, strict=True))


@LAWS
@given(TOTALS, RATIOS)
def test_a_split_drifts_no_more_than_a_unit_in_each_part_can_make_it(total, parts):
    amounts = split_or_none(total, parts)
    assume(amounts)
    first = amounts[0]
    for amount, drift in zip(amounts, mixing.ratio_drift_pm(amounts, parts), strict=True):
        most = 1000 * ((amount / max(amount - 1, 0.001)) * ((first + 1) / first) - 1) + 1
        least = 1000 * ((amount / (amount + 1)) * (max(first - 1, 0) / first) - 1) - 1
        assert least <= drift <= most


@LAWS
@given(st.lists(st.tuples(st.integers(1, 5_000), st.integers(500, 5_000)), min_size=1, max_size=8))
def test_the_scale_shows_the_exact_sum_rounded_once(poured):
    amounts, densities = [ml for ml, _ in poured], [density for _, density in poured]
    exact = [sum(ml * density for ml, density in poured[: at + 1]) / 1000 for at in range(len(poured))]
    whole, tenths = mixing.grams(amounts, densities), mixing.tenth_grams(amounts, densities)
    assert all(abs(shown - told) <= 0.5 for shown, told in zip(whole, exact, strict=True))
    assert all(abs(shown / 10 - told) <= 0.0500001 for shown, told in zip(tenths, exact, strict=True))


@LAWS
@given(st.integers(1, 100_000), st.integers(1, 1000))
def test_hardener_and_putty_are_each_others_inverse(putty_g, hardener_pm):
    hardener_g = mixing.percent_hardener_g(putty_g, hardener_pm)
    assume(hardener_g >= 0.1)
    assert mixing.putty_for_g(hardener_g, hardener_pm) == pytest.approx(putty_g)
    assert mixing.hardener_pm_of(putty_g, hardener_g) == hardener_pm
    share = mixing.hardener_of_total_pct(hardener_pm)
    assert share == pytest.approx(100 * hardener_g / (putty_g + hardener_g))
    assert share < hardener_pm / 10


@LAWS
@given(st.integers(1, 1000), st.integers(1, 1000), st.integers(1, 1000))
def test_hardener_is_warned_of_outside_the_sheet_and_only_there(hardener_pm, one, other):
    least, most = min(one, other), max(one, other)
    assert bool(mixing.hardener_warning(hardener_pm, least, most)) is not (least <= hardener_pm <= most)


@LAWS
@given(st.floats(10, 1_000), st.floats(10, 1_000), st.floats(1, 3_000))
def test_the_ribbon_grows_with_the_area_of_the_disc(disc, told_disc, told_ribbon):
    ribbon = mixing.disc_ribbon_mm(disc, told_disc, told_ribbon)
    assert ribbon == pytest.approx(told_ribbon * (disc / told_disc) ** 2, abs=0.51)


# --- coverage and cups ---


@LAWS
@given(st.floats(0.01, 1_000), SOLIDS, FILMS, TRANSFERS)
def test_what_an_area_takes_covers_that_area(area, solids, film, transfer):
    litres = cover.litres_for(area, film, solids, transfer)
    assert litres * cover.m2_per_l(solids, film, transfer) == pytest.approx(area)
    assert litres >= cover.litres_for(area, film, solids, 100) * (1 - 1e-12)


@LAWS
@given(SOLIDS, st.floats(0.1, 190), TRANSFERS)
def test_feet_and_gallons_tell_the_same_as_metres_and_litres(solids, mil, transfer):
    metric = cover.m2_per_l(solids, measures.mil_to_um(mil), transfer)
    feet = cover.ft2_per_gal(solids, mil, transfer)
    assert feet == pytest.approx(metric * 3.785411784 / 0.3048**2, rel=0.0002)


@LAWS
@given(FILMS, SOLIDS, st.floats(0, 300))
def test_a_wet_film_dries_to_what_was_wanted(film, solids, thinner):
    wet = cover.wet_film_um(film, solids, thinner)
    assert wet * cover.thinned_vs_pct(solids, thinner) / 100 == pytest.approx(film)
    assert wet >= film * (1 - 1e-12)


@LAWS
@given(st.floats(0.01, 1_000), st.integers(1, 20), FILMS, SOLIDS, TRANSFERS, st.floats(0, 100))
def test_what_is_mixed_is_never_short_of_the_coats(area, coats, film, solids, transfer, loss):
    ml = cover.ready_to_spray_ml(area, coats, film, solids, transfer, loss)
    needed = 1000 * coats * cover.litres_for(area, film, solids, transfer) * (1 + loss / 100)
    assert needed - 0.01 <= ml < needed + 1


WORK = st.tuples(
    st.integers(30, 20_000),
    st.integers(1, 20),
    st.integers(1, 60 * 60).map(lambda seconds: MINUTE_MS + seconds * 1_000),
    st.integers(0, 60 * 60).map(lambda seconds: seconds * 1_000),
    st.integers(1, 12 * 60).map(lambda minutes: minutes * MINUTE_MS),
)


@LAWS
@given(WORK)
def test_cups_add_up_and_none_outlives_its_pot_and_fewer_would_not_do(work):
    total, coats, spray, flash, pot = work
    made = or_none("The pot life is too short", cover.cups, *work)
    assume(made)
    held = made["cups"]
    assert sum(cup["ml"] for cup in held) == total
    assert sum(cup["coats"] for cup in held) == coats * made["share"]
    assert all(cup["takes_ms"] <= pot for cup in held)
    assert made["one"] == (coats * spray + (coats - 1) * flash <= pot)
    if made["share"] > 1:
        assert spray > pot
        assert spray > pot * (made["share"] - 1)
    elif len(held) > 1:
        most = math.ceil(coats / (len(held) - 1))
        assert most * spray + (most - 1) * flash > pot


@LAWS
@given(WORK, st.integers(0, 3 * 60))
def test_a_longer_pot_life_never_takes_more_cups(work, longer):
    *rest, pot = work
    made = or_none("The pot life is too short", cover.cups, *work)
    assume(made)
    assert len(cover.cups(*rest, pot + longer * MINUTE_MS)["cups"]) <= len(made["cups"])
