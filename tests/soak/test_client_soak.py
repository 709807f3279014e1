"""A hundred thousand bad days of the phone's own scripts, each from its own seed; and faults put in on purpose.

    python -m pytest tests/soak/test_client_soak.py -q -s -k bad_days          one process
    python -m pytest tests/soak/test_client_soak.py -q -s -k bad_days -n 2     two processes
    python -m pytest tests/soak/test_client_soak.py -q -s -k fault             a table: each fault and what found it
    python -m tests.soak.days                                                  the same days in node, faster

SANDTIME_SOAK_COUNT  how many schedules, 100000 unless told
SANDTIME_SOAK_SEED   the first seed, 1000000 unless told; a failure names its seed, and that seed with a count of 1
                     plays it again
"""

import os

import pytest

from tests.simulated import linked, schedules
from tests.soak.mutations import MUTATIONS

pytestmark = pytest.mark.browser
COUNT = int(os.environ.get("SANDTIME_SOAK_COUNT") or 100_000)
SEED = int(os.environ.get("SANDTIME_SOAK_SEED") or 1_000_000)
CHUNK = 250
IN_THE_SUITE = 500


@pytest.mark.parametrize("first", range(SEED, SEED + COUNT, CHUNK))
def test_after_many_bad_days_nothing_is_lost_and_all_pages_show_the_same(chromium, first):
    with schedules.page_of(chromium) as page:
        assert schedules.run(page, first, min(CHUNK, SEED + COUNT - first))["failed"] == []


@pytest.mark.parametrize("fault", MUTATIONS, ids=lambda fault: fault[0])
def test_a_fault_is_found_within_the_schedules_of_the_suite(chromium, fault):
    what, path, old, new = fault
    sources = linked.modules()
    assert sources[path].count(old) == 1
    sources[path] = sources[path].replace(old, new)
    with schedules.page_of(chromium, sources) as page:
        (found,) = schedules.run(page, 1, IN_THE_SUITE, stops=True)["failed"]
    print(f"\n{what}: schedule {found['seed']}: {found['why'].splitlines()[0][:90]}")
