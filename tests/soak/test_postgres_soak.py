"""The tests of many at work on one PostgreSQL, longer: writers for a minute, a hundred thousand due moments.

    python -m tests.postgres python -m pytest tests/soak/test_postgres_soak.py -q -s

SANDTIME_SOAK_SECONDS  how long the writers write, 60 unless told
SANDTIME_SOAK_MOMENTS  how many moments are due, 100000 unless told
"""

import os

import pytest

from tests.timers.log import test_postgres as short

pytestmark = [pytest.mark.postgres, pytest.mark.django_db(transaction=True)]


def test_six_writers_for_a_minute_and_a_reader_by_cursor_who_misses_nothing(monkeypatch):
    monkeypatch.setattr(short, "SECONDS", float(os.environ.get("SANDTIME_SOAK_SECONDS") or 60))
    short.test_six_writers_of_one_shop_and_a_reader_by_cursor_who_misses_nothing(monkeypatch)


def test_two_ringers_tell_each_of_a_hundred_thousand_due_moments_once(monkeypatch):
    monkeypatch.setattr(short, "MOMENTS", int(os.environ.get("SANDTIME_SOAK_MOMENTS") or 100_000))
    short.test_two_ringers_tell_each_of_many_due_moments_once()
