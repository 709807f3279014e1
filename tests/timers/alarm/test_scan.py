"""How the ringer looks: it reckons while it holds nothing, writes what still stands, gives each shop its turn."""

import pytest
from django.db import connection

from shop.base import database
from shop.models import Shop
from tests.support.bell import NOW_MS
from tests.timers.log.test_log import kept, panel_of, putty_on, tap
from timers.alarm import messages, scan
from timers.core.base.units import HOUR_MS
from timers.models import Alert, ThingState

REAL = messages._seen


@pytest.fixture(autouse=True)
def _rested():
    scan._heavy.clear()
    yield
    scan._heavy.clear()


@pytest.fixture
def meanwhile(monkeypatch):
    """What happens once while the first thing is reckoned."""

    def happens(work):
        todo = [work]

        def seen(*given):
            found = REAL(*given)
            if todo:
                todo.pop()()
            return found

        monkeypatch.setattr(messages, "_seen", seen)

    return happens


@pytest.mark.django_db(transaction=True)
def test_a_thing_is_reckoned_while_neither_the_database_nor_the_turn_to_write_is_held(bell, meanwhile):
    bell.door()
    held = []
    meanwhile(lambda: held.append((connection.in_atomic_block, database._sqlite_writer.locked())))
    bell.at(NOW_MS)
    assert held == [(False, False)]


@pytest.mark.django_db
def test_a_thing_that_was_touched_while_it_was_reckoned_is_looked_at_again(bell, meanwhile):
    on, opens = bell.watched_door()
    meanwhile(lambda: kept(bell.shop, [tap(bell.rnd, on, "panel_put_away", 1, x=0)]))
    assert bell.at(opens) == []
    assert ThingState.objects.get(on=on).next_at_ms == 0
    assert bell.at(opens + 1) == []
    assert ThingState.objects.get(on=on).next_at_ms is None
    assert not Alert.objects.exists()


@pytest.mark.django_db
@pytest.mark.parametrize("read_before", [True, False], ids=["another reading", "the first reading"])
def test_a_reading_that_comes_while_a_thing_is_reckoned_makes_the_ringer_look_again(bell, meanwhile, read_before):
    on = bell.door()
    if read_before:
        kept(bell.shop, [tap(bell.rnd, ago_ms=1000, temp_dc=200)])
    meanwhile(lambda: kept(bell.shop, [tap(bell.rnd, temp_dc=300)]))
    bell.at(NOW_MS)
    assert ThingState.objects.get(on=on).next_at_ms == 0
    bell.at(NOW_MS + 1)
    warm = bell.opening(on)
    ThingState.objects.filter(on=on).update(next_at_ms=0)
    bell.at(NOW_MS + 2)
    assert bell.opening(on) == warm > NOW_MS


@pytest.mark.django_db
def test_two_ringers_that_reckon_the_same_thing_at_once_tell_it_once(bell, meanwhile):
    _, opens = bell.watched_door()
    meanwhile(lambda: scan.look(opens))
    assert bell.at(opens) == ["/0 Left front door", "/1 Left front door"]
    assert Alert.objects.count() == 1


@pytest.mark.django_db
def test_a_shop_that_takes_long_is_cut_off_comes_last_and_rests(bell, monkeypatch):
    heavy = Shop.objects.create(name="Heavy", zone="UTC", made_ms=0)
    for _ in range(6):
        door = panel_of(bell.rnd, "Hood", 1)
        kept(heavy, [door, putty_on(bell.rnd, door, 0)])
    on = bell.door()
    seconds, reckoned = [0.0], []

    def seen(row, *given):
        seconds[0] += 0.13 if row.shop_id == heavy.pk else 0.0
        reckoned.append(row.shop_id)
        return REAL(row, *given)

    monkeypatch.setattr(messages, "_seen", seen)
    monkeypatch.setattr(scan.time, "thread_time", lambda: seconds[0])
    monkeypatch.setattr(scan.time, "monotonic", lambda: 1_000 + seconds[0])
    scan.look(NOW_MS)
    assert reckoned.count(heavy.pk) == 2
    assert bell.opening(on) > NOW_MS
    for _ in range(3):
        kept(bell.shop, [tap(bell.rnd, on, "panel_named", name="Roof")])
        reckoned.clear()
        scan.look(NOW_MS + 1)
        assert reckoned == [bell.shop.pk]  # the other one rests
    seconds[0] += 10
    kept(bell.shop, [tap(bell.rnd, on, "panel_named", name="Sill")])
    reckoned.clear()
    scan.look(NOW_MS + 2)
    assert reckoned == [bell.shop.pk, heavy.pk, heavy.pk]
    for _ in range(4):
        seconds[0] += 10
        scan.look(NOW_MS + HOUR_MS)
    assert not scan.due(NOW_MS + 3).filter(shop=heavy).exists()


@pytest.mark.django_db
def test_things_are_read_a_few_at_a_time_where_they_are_large(bell):
    doors = [bell.door(f"Door {nth}") for nth in range(4)]
    ThingState.objects.filter(on__in=doors).update(bytes=scan.MOST_BYTES // 2)
    scan.look(NOW_MS)
    assert scan.due(NOW_MS).count() == 2
    scan.look(NOW_MS)
    assert not scan.due(NOW_MS).exists()
