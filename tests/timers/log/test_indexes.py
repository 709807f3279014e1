"""What is asked often goes by an index whole, so that a shop's third year is as quick as its first week."""

import uuid

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from shop.security import access
from tests.timers.log.test_sync import now_ms, panel, tap
from timers.log import queries, reader, writer
from timers.models import ThingState

pytestmark = pytest.mark.django_db


@pytest.fixture
def shop():
    return access.new_shop("Any garage", "UTC", now_ms())


def planned(work) -> str:
    """How SQLite goes about the last thing that is asked."""
    with CaptureQueriesContext(connection) as asked:
        work()
    with connection.cursor() as cursor:
        cursor.execute("EXPLAIN QUERY PLAN " + asked.captured_queries[-1]["sql"])
        return "\n".join(row[-1] for row in cursor.fetchall())


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the plan is SQLite's")
def test_acts_that_no_clock_needs_are_not_walked_over(shop):
    plan = planned(lambda: queries.acts(shop.pk, [], ["air"]))
    assert "acts_of_one_thing (shop_id=? AND on=? AND archived=?)" in plan


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the plan is SQLite's")
@pytest.mark.parametrize("asked", [reader.on_the_floor, reader.cups_on_the_floor])
def test_panels_and_cups_that_are_done_are_not_walked_over(shop, asked):
    assert "may_ring" in planned(lambda: list(asked(shop)))


@pytest.mark.skipif("connection.vendor != 'sqlite'", reason="the plan is SQLite's")
def test_a_reading_has_only_things_that_may_ring_looked_at_again(shop):
    assert "may_ring" in planned(lambda: queries.look_again(uuid.UUID(str(shop.pk))))


def test_a_panel_that_came_back_is_on_the_floor_whatever_the_ringer_left_on_it(shop):
    door = panel()
    writer.append(shop.pk, None, [door, tap(door["on"], "panel_put_away", x=0)], now_ms())
    ThingState.objects.update(next_at_ms=None)  # as the ringer does with what rings no more
    assert not reader.on_the_floor(shop).exists()
    writer.append(shop.pk, None, [tap(door["on"], "panel_brought_back", x=0)], now_ms())
    assert reader.on_the_floor(shop).exists()


def test_a_panel_put_away_is_not_reckoned_for_a_card_that_nobody_sees(shop, monkeypatch):
    doors = [panel("Hood"), panel("Roof")]
    writer.append(shop.pk, None, [*doors, tap(doors[0]["on"], "panel_put_away", x=0)], now_ms())
    drawn, card = [], reader.card
    monkeypatch.setattr(reader, "card", lambda state, *rest: drawn.append(state["name"]) or card(state, *rest))
    reader.floor(shop, now_ms())
    assert drawn == ["Roof"]
