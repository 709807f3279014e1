"""The whole jobs of tests/jobs in the phone's rules: each line as it was written by hand."""

import json

import pytest

from tests.browser.twins import ask
from tests.support.each import each
from tests.support.played import Played, answer
from tests.timers.core.test_jobs import JOBS, assert_as_written

pytestmark = pytest.mark.browser


@each("name", JOBS)
def test_the_job_goes_in_the_page_as_it_was_written_down(core_page, name):
    played, asked = Played(JOBS[name]), []
    for line in JOBS[name]["timeline"]:
        now_ms = played.moment(line["at"])
        asked.append(played.asked(now_ms, line))
        played.do(now_ms, line)
        asked.append(played.asked(now_ms, {"do": "look"}))
        played.told += [one["key"] for one in answer(asked[-1])["heard"]]
    said = [json.loads(text) for text in ask(core_page, "job", asked)]
    for line, before, after in zip(JOBS[name]["timeline"], said[::2], said[1::2], strict=True):
        assert before["warns"] == line.get("warns", []), line["at"]
        assert_as_written(played, line, after)
