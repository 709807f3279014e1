"""Laws of a cup, searched at random: its clocks never lean the wrong way, and the floor holds just those that stand."""

import json
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models import Shop
from tests.random_logs import logs
from tests.random_logs.sheets import points
from tests.support.laws import LAWS, SEEDS, START, TEMPS, as_text, assert_order_is_free
from tests.timers.core.test_vectors import zone_of
from timers.core.acts import envelope
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.card import cup, panel_card
from timers.core.clock import air
from timers.core.fold import order, shelf
from timers.defaults import products
from timers.log import reader, writer

LATER = st.integers(-HOUR_MS, 3 * DAY_MS)
KEPT = ("induction", "pot")
EPOXY, SURFACER, WATERBASE = products.PRODUCTS[3], products.PRODUCTS[5], products.PRODUCTS[8]


def mixed(product=SURFACER, variant="std", at=START):
    sheet = shelf.laid_sheet(product, variant)
    mix = {"product": product["id"], "by": "volume", "amounts": [400, 100, 100], "names": ["Paint", "Hardener", "Thin"]}
    return {"id": envelope.new_id(at, b"0123456789"), "at": at, "kind": "cup_mixed", "sheet": sheet, **mix}


def readings(*reads):
    return {"readings": [[at, temp, None] for at, temp in sorted(reads)]}


# --- clocks ---


@LAWS
@given(SEEDS, TEMPS, TEMPS, TEMPS, LATER)
def test_a_later_reading_never_opens_a_cup_earlier_for_cold_nor_ends_it_later_for_heat(seed, first, cold, hot, later):
    sheet = {**shelf.laid_sheet(EPOXY, ""), "gates": {gate: points(random.Random(seed)) for gate in KEPT}}
    state = cup.fold([{**mixed(EPOXY, ""), "sheet": sheet}])
    reads = [(START - HOUR_MS, first)]
    before = cup.times(state, air.trace(readings(*reads)))
    colder = cup.times(state, air.trace(readings(*reads, (START + later, min(first, cold)))))
    hotter = cup.times(state, air.trace(readings(*reads, (START + later, max(first, hot)))))
    if before["opens_at"] is not None:
        assert colder["opens_at"] is None or colder["opens_at"] >= before["opens_at"]
    assert hotter["shuts_at"] <= before["shuts_at"]


@LAWS
@given(SEEDS, st.integers(1, 25), LATER)
def test_in_steady_air_the_word_of_a_cup_changes_only_at_the_moments_announced(seed, length, later):
    rnd = random.Random(seed)
    state = cup.fold(logs.cup_log(rnd, length))
    if state["mixed_at"] is None:
        return
    trace = air.trace(readings((0, rnd.randint(50, 350))))
    times, now = cup.times(state, trace), state["mixed_at"] + max(later, 0)
    following = panel_card.next_at({"films": []}, {**times, "films": []}, now)
    ends = following - 1 if following else now + 400 * DAY_MS
    assert cup.mode_of(times, trace, now) == cup.mode_of(times, trace, rnd.randint(now, ends))


# --- folding ---


@LAWS
@given(SEEDS, st.integers(0, 25))
def test_a_cup_does_not_depend_on_the_order_of_arrival_nor_on_repeats(seed, length):
    rnd = random.Random(seed)
    assert_order_is_free(cup.fold, logs.cup_log(rnd, length), rnd)


@LAWS
@given(SEEDS, st.integers(1, 25))
def test_each_panel_is_named_once_and_a_use_told_again_changes_nothing(seed, length):
    rnd = random.Random(seed)
    acts_of = logs.cup_log(rnd, length)
    state = cup.fold(acts_of)
    panels = [panel for panel, _ in state["used"]]
    assert len(set(panels)) == len(panels)
    for panel, at in state["used"]:
        again = {
            "id": logs.new_id(rnd, at + 1),
            "at": at + 1,
            "on": acts_of[0]["on"],
            "kind": "cup_used",
            "panel": panel,
        }
        assert as_text(cup.fold([*acts_of, again])) == as_text(state)


@LAWS
@given(SEEDS, st.integers(0, 25))
def test_a_cup_stands_when_a_mixing_stands_and_no_emptying_does(seed, length):
    acts_of = logs.cup_log(random.Random(seed), length)
    kinds = {act["kind"] for act in order.standing(acts_of)}
    assert cup.stands(cup.fold(acts_of)) == ("cup_mixed" in kinds and "cup_emptied" not in kinds)


@LAWS
@given(SEEDS, st.integers(0, 25), LATER, st.integers(-840, 840))
def test_any_acts_that_are_kept_make_a_card_in_whole_numbers_and_words(seed, length, later, zone):
    rnd = random.Random(seed)
    odd = [act for act in (logs.twisted_act(rnd) for _ in range(10)) if not envelope.refusal(act, logs.NOW_MS)]
    state = cup.fold(logs.cup_log(rnd, length) + odd)
    if state["mixed_at"] is None:
        return
    trace = air.trace(air.fold(logs.air_log(rnd, length // 4)))
    times, now = cup.times(state, trace), state["mixed_at"] + later
    drawn = cup.face(state, times, trace, now, zone_of(zone), {})
    assert only_whole([drawn, times])
    assert 0 <= drawn["strip"]["now"] <= 1000
    assert drawn["word"]
    assert drawn["say"]
    assert drawn["buttons"]
    assert bool(drawn["caution"]) == (drawn["state"] in (panel_card.CLOSING, panel_card.SHUT))


# --- the floor ---


@pytest.mark.django_db
@pytest.mark.parametrize("seed", range(12))
def test_the_floor_holds_just_the_cups_that_stand(seed):
    rnd = random.Random(seed)
    shop = Shop.objects.create(name="Any garage", zone="Europe/Berlin", made_ms=logs.NOW_MS)
    states = {}
    for _ in range(8):
        acts_of = logs.cup_log(rnd, rnd.choice([1, 2, 3, 9]))
        told = writer.append(shop.pk, None, acts_of, logs.NOW_MS)
        assert {one["verdict"] for one in told} == {writer.KEPT}
        states[acts_of[0]["on"]] = cup.fold(acts_of)
    standing = {on for on, state in states.items() if cup.stands(state)}
    assert {one["on"] for one in reader.floor(shop, logs.NOW_MS)["cards"]} == standing


@pytest.mark.django_db
def test_a_cup_closing_stands_before_a_cup_good_for_hours_and_the_hands_hear_of_it():
    shop = Shop.objects.create(name="Any garage", zone="UTC", made_ms=START)
    rnd = random.Random(1)
    on = [f"cup:{logs.new_id(rnd)}" for _ in range(3)]
    mixes = [mixed(WATERBASE, "", START), mixed(EPOXY, "", START - 2 * HOUR_MS), mixed(SURFACER, "std", START)]
    writer.append(
        shop.pk, None, [{**mix, "id": logs.new_id(rnd), "on": one} for one, mix in zip(on, mixes, strict=True)], START
    )
    shown = reader.floor(shop, START + 25 * MINUTE_MS)
    assert [one["on"] for one in shown["cards"]] == [on[2], on[1], on[0]]
    assert [one["face"]["state"] for one in shown["cards"]] == [panel_card.CLOSING, panel_card.OPENS, panel_card.OPENS]
    assert shown["hands"] == "Now: Cup: Surfacer, 2K high build (600 ml). Good only until 08:30"


def only_whole(value):
    """Whether there is no float anywhere, and all of it is JSON."""
    json.dumps(value, allow_nan=False)
    if isinstance(value, dict | list):
        return all(only_whole(one) for one in (value.values() if isinstance(value, dict) else value))
    return not isinstance(value, float)
