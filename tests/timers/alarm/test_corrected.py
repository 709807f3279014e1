"""What is corrected in time never rings wrongly, and what rang by it is withdrawn."""

import pytest

from tests.support.bell import NOW_MS
from tests.timers.log.test_log import kept, panel_of, tap
from timers.core.base.units import MINUTE_MS
from timers.models import Alert, Delivery, ThingState

pytestmark = pytest.mark.django_db
DOOR = "Left front door"
GATES = {"flash": [[200, 10 * MINUTE_MS, 10 * MINUTE_MS]], "recoat_by": [[200, 60 * MINUTE_MS, 60 * MINUTE_MS]]}


def coat_on(bell, on: str, nth: int, ago_ms: int) -> dict:
    sheet = {"name": "Surfacer", "cls": "surfacer", "gates": GATES}
    coat = {"film": f"f{nth}", "step": "s1", "product": "q1", "coat": nth, "sheet": sheet}
    return tap(bell.rnd, on, "film_laid", ago_ms, **coat)


def coated(bell, minutes: list[int]) -> tuple[str, list[dict]]:
    """A panel with coats that were laid so many minutes ago."""
    door = panel_of(bell.rnd, DOOR, 120 * MINUTE_MS)
    door["steps"] = [{"id": "s1", "do": "coat", "words": "Surfacer", "cls": "surfacer", "coats": 9}]
    coats = [coat_on(bell, door["on"], nth, ago * MINUTE_MS) for nth, ago in enumerate(minutes, 1)]
    kept(bell.shop, [door, *coats])
    return door["on"], coats


def correct(bell, on: str, act: dict, ago_ms: int, **fix) -> dict:
    correction = tap(bell.rnd, on, "act_corrected", ago_ms, act=act["id"], of=act["kind"], **fix)
    kept(bell.shop, [correction])
    return correction


def kinds(bell, now_ms: int) -> list[str]:
    """What was taken up at a moment."""
    known = set(Alert.objects.values_list("key", flat=True))
    bell.at(now_ms)
    fresh = Alert.objects.exclude(key__in=known).values_list("key", flat=True)
    return sorted(key.split(" ")[1] for key in fresh)


def test_a_coat_corrected_before_its_window_shut_rings_by_what_it_was(bell):
    """Of the wrong hardener, seen 50 minutes later: it neither rings as shut by the one nor stands as laid anew."""
    on, (_, second) = coated(bell, [70, 50])
    assert kinds(bell, NOW_MS) == ["closing"]
    slow = {"name": "Surfacer, slow", "cls": "surfacer", "gates": {**GATES, "recoat_by": [[200, 7_200_000, 7_200_000]]}}
    fix = correct(bell, on, second, -MINUTE_MS, product="q1", sheet=slow, coat=2)
    assert kinds(bell, NOW_MS + 2 * MINUTE_MS) == []  # the closing of before is withdrawn
    (film,) = ThingState.objects.get(on=on).state["films"][1:]
    assert (film["laid_at"], film["sheet"]["name"], film["corrected"][0]) == (second["at"], "Surfacer, slow", fix["id"])
    assert kinds(bell, NOW_MS + 15 * MINUTE_MS) == []  # as entered first the window were shut by now
    assert kinds(bell, second["at"] + 120 * MINUTE_MS) == ["shut"]


def test_a_ring_that_rang_by_what_was_entered_wrong_is_withdrawn_and_rings_at_its_moment(bell):
    bell.service.answers["/0"] = [(503, {})]
    on, (first,) = coated(bell, [61])
    assert "shut" in kinds(bell, NOW_MS)
    assert Delivery.objects.exists()  # one phone could not be reached yet
    correct(bell, on, first, -MINUTE_MS, at_ms=NOW_MS - 30 * MINUTE_MS)
    assert kinds(bell, NOW_MS + MINUTE_MS) == []
    assert not Delivery.objects.filter(alert__key__contains=" shut ").exists()
    assert kinds(bell, NOW_MS + 30 * MINUTE_MS) == ["shut"]


def test_what_was_silenced_by_what_was_entered_wrong_rings_by_what_it_was(bell):
    on, (first,) = coated(bell, [61])
    bell.at(NOW_MS)
    shut = Alert.objects.get(key__contains=" shut ").key
    kept(bell.shop, [tap(bell.rnd, on, "ring_silenced", ring=shut)])
    fix = correct(bell, on, first, -MINUTE_MS, at_ms=NOW_MS - 50 * MINUTE_MS)
    assert kinds(bell, NOW_MS + 10 * MINUTE_MS) == ["shut"]
    kept(bell.shop, [tap(bell.rnd, on, "undone", -20 * MINUTE_MS, act=fix["id"])])
    assert kinds(bell, NOW_MS + 21 * MINUTE_MS) == []  # as it was: rung and silenced
