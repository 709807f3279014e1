"""The phone's own scripts through hundreds of bad days: roads that lose and double, kills between any two steps, disks
that are full or fail, wrong clocks, two pages of one phone, a server that was put back.  Nothing is lost, all show the
same.

The scripts are those of static/js; what is driven is what the browser gives them (tests/simulated/client).  Their
server is a small one in the same page; the second test gives whole schedules to the real one and finds every answer
the same.
"""

import pytest

from tests.simulated import schedules
from tests.simulated.replay import replayed

pytestmark = [pytest.mark.browser, pytest.mark.django_db]
COUNT = 500
REPLAYED = 20
# Days of the soak on which something went wrong once.
ONCE_WRONG = [
    *(1_001_665, 1_001_898, 1_002_577),  # one of two pages let go of a tap that the other had heard of
    *(1_002_155, 1_005_573),  # all went from a page under which the browser had emptied the disk
    1_003_035,  # a page that began on an emptied disk asked from where another one stood
    1_005_644,  # a page took a thing from before the server was put back, since its number was higher
    *(1_006_792, 1_008_160, 1_010_858),  # killed on a full disk, a phone put a posted tap's moment right once more
    1_001_787,  # one page posted another's tap as that one's wrong clock had it
]
MUST_SEE = {
    *("heard", "no signal", "lost", "answer lost", "repeated", "late", "slow", "broken", "broken after", "busy"),
    *(
        "elsewhere",
        "killed",
        "second page",
        "clock set",
        "slept",
        "server down",
        "put back",
        "safe",
        "only on the page",
    ),
    *(f"disk: {kind}" for kind in ("full", "some", "abort", "open", "close", "empty")),
}


@pytest.fixture(scope="module")
def driven(chromium):
    with schedules.page_of(chromium) as page:
        yield page


def test_after_any_bad_day_nothing_is_lost_and_all_pages_show_the_same(driven):
    told = schedules.run(driven, 1, COUNT)
    assert told["failed"] == []
    assert told["counts"].keys() >= MUST_SEE


def test_on_days_that_once_went_wrong_nothing_is_lost_and_all_pages_show_the_same(driven):
    assert [one for seed in ONCE_WRONG for one in schedules.run(driven, seed, 1)["failed"]] == []


def test_the_small_server_of_the_schedules_answers_as_the_real_one(driven):
    told = schedules.run(driven, 1, REPLAYED, keepsPosts=True)
    assert sum(replayed(world) for world in told["posts"]) > 10 * REPLAYED
