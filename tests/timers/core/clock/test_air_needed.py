"""What clocks still need of the air: less each week, and never one that would open early or close late."""

from hypothesis import given, settings
from hypothesis import strategies as st

from tests.support.laws import LAWS, SEEDS, START, TEMPS
from tests.timers.core.clock.test_laws import sheets
from timers.core.acts.envelope import new_id
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.core.clock import air, cure

SPANS_MS = [1, MINUTE_MS, 5 * HOUR_MS, DAY_MS, 13 * DAY_MS, 60 * DAY_MS]


def numbered(at_ms: int, nth: int, kind: str, **fields) -> dict:
    return {"id": new_id(at_ms, nth.to_bytes(10, "big")), "at": at_ms, "on": "air", "kind": kind, **fields}


@st.composite
def logs(draw):
    """Acts of the air over half a year, some at the edges of days and of what is kept."""
    last = START + draw(st.integers(0, 3)) * HOUR_MS
    edges = [last - air.FINE_MS, last - air.LONG_MS, (last - 20 * DAY_MS) // DAY_MS * DAY_MS]
    moments = st.sampled_from(edges).flatmap(lambda edge: st.integers(edge - 2, edge + 2)) | st.integers(
        last - 180 * DAY_MS, last
    )
    acts = [numbered(last, 0, "air_read", temp_dc=draw(TEMPS))] if draw(st.booleans()) else []
    for nth in range(1, draw(st.integers(1, 25))):
        at = draw(moments)
        what = draw(st.sampled_from(["air_read", "air_read", "air_read", "air_expected", "undone", "fan_started"]))
        fields = {
            "air_read": {"temp_dc": draw(TEMPS), "rh_pm": draw(st.none() | st.integers(0, 3))},
            "air_expected": {"temp_dc": draw(TEMPS), "for_ms": at + draw(st.sampled_from(SPANS_MS))},
            "undone": {"act": draw(st.sampled_from(acts))["id"] if acts else "gone"},
        }
        acts.append(numbered(at, nth, what, **fields.get(what, {})))
    return acts


@LAWS
@given(logs(), st.randoms(use_true_random=False), st.integers(0, 25))
def test_what_faded_is_missed_by_nobody_in_whatever_order_acts_arrive(acts, rnd, cut):
    rnd.shuffle(acts)
    one, other = acts[:cut], acts[cut:]
    early = [*air.needed(one), *other]
    assert sorted(act["id"] for act in air.needed(early)) == sorted(act["id"] for act in air.needed(acts))
    assert air.fold(early) == air.fold(acts)
    assert air.needed(air.needed(acts)) == air.needed(acts)


@settings(LAWS, max_examples=1500)
@given(sheets(), st.lists(st.tuples(st.integers(0, 75 * DAY_MS), TEMPS), min_size=1, max_size=60), SEEDS)
def test_by_what_is_left_of_old_days_a_film_opens_no_sooner_and_closes_no_later(sheet, told, seed):
    reads = [numbered(START + after, nth, "air_read", temp_dc=temp) for nth, (after, temp) in enumerate(told)]
    laid = START + seed % (60 * DAY_MS)
    plain = sorted([act["at"], act["temp_dc"], None] for act in reads)
    whole, left = air.trace({"readings": plain}), air.trace(air.fold(reads))
    opens, late = cure.opens_at(sheet, laid, whole), cure.opens_at(sheet, laid, left)
    assert late is None or late >= opens - 1
    closes, soon = (cure.closes_at({**sheet, "lowest_dc": None}, laid, steps) for steps in (whole, left))
    assert soon <= closes + 1


def test_a_year_of_a_reading_every_five_minutes_leaves_fourteen_days_and_three_a_day_before():
    day = DAY_MS // (5 * MINUTE_MS)
    acts = []
    for nth in range(365 * day):
        temp, damp = 180 + nth * 7 % 53, 400 + nth * 11 % 97
        acts.append(numbered(START + nth * 5 * MINUTE_MS, nth, "air_read", temp_dc=temp, rh_pm=damp))
        if len(acts) > 5_000:
            acts = air.needed(acts)
    left = len(air.needed(acts))
    assert 14 * day <= left <= 14 * day + 1 + 3 * 77


def test_of_two_equal_readings_of_the_last_day_that_counts_the_day_keeps_one_however_they_arrive():
    spans = (90 * DAY_MS + 1, 90 * DAY_MS, 20 * DAY_MS, 0)
    acts = [numbered(START - span, nth, "air_read", temp_dc=0) for nth, span in enumerate(spans)]
    early = [*air.needed(acts[:3]), acts[3]]
    assert air.needed(early) == air.needed(acts)
    assert air.fold(early) == air.fold(acts)
