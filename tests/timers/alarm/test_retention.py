"""What was told long ago is forgotten, and rings nothing twice."""

import itertools

import pytest

from tests.support.bell import NOW_MS
from tests.support.pushed import until
from tests.timers.log.test_log import kept, tap
from timers.alarm import retention, ringer
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.models import Alert, ThingState

pytestmark = pytest.mark.django_db
MONTHS_MS = retention.KEPT_MS + DAY_MS


@pytest.fixture
def rung(bell):
    """A door that rang and was put away a minute later: its thing, and the moment."""
    on, opens = bell.watched_door()
    assert len(bell.at(opens)) == 2
    return on, opens


def put_away(bell, on: str, at_ms: int) -> None:
    kept(bell.shop, [tap(bell.rnd, on, "panel_put_away", NOW_MS - at_ms, x=0)])


def test_what_was_told_of_a_door_long_put_away_is_forgotten_after_sixty_days_and_not_before(bell, rung):
    on, opens = rung
    put_away(bell, on, opens + MINUTE_MS)
    bell.at(opens + 2 * MINUTE_MS)
    assert retention.forget(opens + retention.KEPT_MS) == 0
    assert retention.forget(opens + MONTHS_MS) == 1
    assert not Alert.objects.exists()


def test_what_was_told_of_a_door_that_still_stands_is_not_forgotten_and_rings_no_second_time(bell, rung):
    on, opens = rung
    assert retention.forget(opens + MONTHS_MS) == 0
    ThingState.objects.update(next_at_ms=0)
    assert bell.at(opens + MONTHS_MS) == []
    assert Alert.objects.get().on == on


def test_a_door_brought_back_after_its_rings_were_forgotten_does_not_ring_them_again(bell, rung):
    on, opens = rung
    put_away(bell, on, opens + MINUTE_MS)
    bell.at(opens + 2 * MINUTE_MS)
    assert retention.forget(opens + MONTHS_MS) == 1
    kept(bell.shop, [tap(bell.rnd, on, "panel_brought_back", NOW_MS - opens - 2 * MINUTE_MS, x=0)])
    assert bell.at(opens + MONTHS_MS + 1) == []
    assert ThingState.objects.get(on=on).next_at_ms is not None
    assert not Alert.objects.exists()


def test_what_a_phone_is_still_owed_is_not_forgotten(bell, rung):
    on, opens = rung
    put_away(bell, on, opens + MINUTE_MS)
    told = Alert.objects.get()
    told.deliveries.create(subscription=bell.phones[0], try_ms=opens)
    ThingState.objects.update(next_at_ms=None)
    assert retention.forget(opens + MONTHS_MS) == 0


def test_trials_are_forgotten_too_a_thousand_rows_at_once(bell, monkeypatch):
    monkeypatch.setattr(retention, "MOST", 2)
    rows = [Alert(shop=bell.shop, on="trial", key=f"trial {n}", at_ms=1, claimed_ms=1) for n in range(5)]
    Alert.objects.bulk_create(rows)
    assert [retention.forget(NOW_MS) for _ in range(4)] == [2, 2, 1, 0]


class _Stopped:
    """Lets a running ringer take so many turns."""

    def __init__(self, turns: int):
        self.turns = turns

    def is_set(self) -> bool:
        self.turns -= 1
        return self.turns < 0

    def wait(self, _seconds: float) -> None:
        """At once."""


def test_a_running_ringer_forgets_at_its_start_and_then_once_an_hour(bell, monkeypatch):
    asked = []
    monkeypatch.setattr(retention, "forget", lambda now_ms: asked.append(now_ms) or 0)
    monkeypatch.setattr(ringer, "close_old_connections", lambda: None)
    moments = iter(range(NOW_MS, NOW_MS + 100 * 20 * MINUTE_MS, 10 * MINUTE_MS))
    ringer.Ringer(lambda: next(moments)).run(_Stopped(6))
    until(lambda: asked)
    assert asked[0] == NOW_MS
    assert all(later - sooner > retention.EVERY_MS for sooner, later in itertools.pairwise(asked))
    assert 2 <= len(asked) < 6
