"""A hundred thousand schedules of phones on a bad network, each from its own seed.

    python -m pytest tests/soak -q             one process
    python -m pytest tests/soak -q -n 2        two processes

SANDTIME_SOAK_COUNT  how many schedules, 100000 unless told
SANDTIME_SOAK_SEED   the first seed, 1000000 unless told; a failure names the seed of its schedule, and that seed with
                     a count of 1 plays it again
"""

import os

import pytest

from tests.timers.log.test_simulated_phones import lived

pytestmark = pytest.mark.django_db
COUNT = int(os.environ.get("SANDTIME_SOAK_COUNT") or 100_000)
SEED = int(os.environ.get("SANDTIME_SOAK_SEED") or 1_000_000)
CHUNK = 500


@pytest.mark.parametrize("first", range(SEED, SEED + COUNT, CHUNK))
def test_after_any_disorder_all_phones_show_what_the_log_says(first):
    lived(range(first, min(first + CHUNK, SEED + COUNT)))
