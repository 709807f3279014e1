"""Laws of the log, searched at random: the order of arrival is nothing, and whatever is kept makes a card."""

import json
import random

from hypothesis import given
from hypothesis import strategies as st

from tests.random_logs import logs
from tests.support.laws import LAWS, SEEDS, START, TEMPS, as_text, assert_order_is_free
from tests.timers.core.test_vectors import zone_of
from timers.core.acts import envelope
from timers.core.base.units import DAY_MS
from timers.core.card import panel_card
from timers.core.clock import air, film
from timers.core.fold import order, panel, shelf

# --- acts, in any order ---


@LAWS
@given(SEEDS, st.integers(0, 40))
def test_a_panel_does_not_depend_on_the_order_of_arrival_nor_on_repeats(seed, length):
    rnd = random.Random(seed)
    log = logs.panel_log(rnd, length)
    assert_order_is_free(panel.fold, log, rnd)


@LAWS
@given(SEEDS, st.integers(0, 20))
def test_air_and_shelf_do_not_depend_on_the_order_of_arrival_either(seed, length):
    rnd = random.Random(seed)
    for log, fold in ((logs.air_log(rnd, length), air.fold), (logs.product_log(rnd, length), shelf.fold)):
        assert_order_is_free(fold, log, rnd)


@LAWS
@given(SEEDS, st.integers(1, 40))
def test_undone_is_as_if_it_never_was_and_restored_is_as_if_it_was_never_undone(seed, length):
    rnd = random.Random(seed)
    log = logs.panel_log(rnd, length)
    out = order.taken_out(log)
    standing = [act for act in log if act["id"] not in out and act["kind"] not in ("undone", "restored")]
    if not standing:
        return
    target, last = rnd.choice(standing), max(act["at"] for act in log)
    undone, restored = (
        {"id": logs.new_id(rnd, last + ms), "at": last + ms, "on": target["on"], "kind": kind, "act": target["id"]}
        for ms, kind in ((1, "undone"), (2, "restored"))
    )
    without = [act for act in log if act["id"] != target["id"]]
    assert as_text(panel.fold([*log, undone])) == as_text(panel.fold(without))
    assert as_text(panel.fold([*log, undone, restored])) == as_text(panel.fold(log))


@LAWS
@given(SEEDS, st.integers(0, 40), st.integers(-30 * DAY_MS, 30 * DAY_MS), st.integers(-840, 840))
def test_any_acts_that_are_kept_make_a_card_in_whole_numbers_and_words(seed, length, ms, zone):
    rnd = random.Random(seed)
    odd = [act for act in (logs.twisted_act(rnd) for _ in range(10)) if not envelope.refusal(act, logs.NOW_MS)]
    log = logs.panel_log(rnd, length) + odd
    rnd.shuffle(log)
    state = panel.fold(log)
    trace = air.trace(air.fold(logs.air_log(rnd, length // 4) + odd))
    times = film.times(state, trace)
    now = logs.NOW_MS + ms
    drawn = panel_card.face(state, times, trace, now, zone_of(zone))
    assert _only_whole([{**state, "films": []}, trace, times, drawn, panel_card.next_at(state, times, now)])
    assert 0 <= drawn["strip"]["now"] <= 1000
    assert drawn["word"]
    assert drawn["say"]
    assert drawn["buttons"]


@LAWS
@given(SEEDS, st.integers(0, 12), TEMPS)
def test_any_product_that_is_kept_can_be_offered_and_laid(seed, length, temp):
    rnd = random.Random(seed)
    odd = [act for act in (logs.twisted_act(rnd) for _ in range(10)) if not envelope.refusal(act, logs.NOW_MS)]
    doc = shelf.fold(logs.product_log(rnd, length) + odd)["doc"]
    if not doc or "gates" not in doc:
        return
    product = {**doc, "id": "p1"}
    offered = shelf.offers([product], "", "", temp)
    assert offered
    for offer in offered:
        sheet = shelf.laid_sheet(product, offer["variant"])
        laid = {"film": "f1", "product": "p1", "coat": 1, "sheet": sheet}
        act = {"id": logs.new_id(rnd), "at": START, "on": f"panel:{logs.new_id(rnd)}", "kind": "film_laid", **laid}
        assert envelope.refusal(act, START) in ("", "This tap holds more words than can be kept.")


JUNK = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(),
    lambda inside: st.lists(inside, max_size=4) | st.dictionaries(st.text(max_size=8), inside, max_size=4),
    max_leaves=10,
)


@LAWS
@given(JUNK, SEEDS)
def test_whatever_arrives_is_kept_or_refused_in_words(junk, seed):
    assert envelope.refusal(junk, START)
    for act in (logs.twisted_act(random.Random(seed)), {**logs.twisted_act(random.Random(seed)), "doc": junk}):
        assert isinstance(envelope.refusal(act, logs.NOW_MS), str)


def _only_whole(value):
    """Whether there is no float anywhere, and all of it is JSON."""
    json.dumps(value, allow_nan=False)
    if isinstance(value, dict | list):
        return all(_only_whole(one) for one in (value.values() if isinstance(value, dict) else value))
    return not isinstance(value, float)
