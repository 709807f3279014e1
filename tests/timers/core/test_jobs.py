"""Whole jobs, written by hand from the sheets before they were played: what the card says, and what rings."""

import json

import pytest

from tests.conftest import ROOT
from tests.support.played import Played, answer, reckoned, told_to_the_second
from timers.core.base.units import DAY_MS
from timers.core.card import alarms

JOBS = {path.stem: json.loads(path.read_text()) for path in sorted((ROOT / "tests/jobs").glob("*.json"))}


def written_of(part: dict, keys: dict) -> dict:
    """What a line says of a card or of one lane of it; `on` is its area, where a tap has one too."""
    said = {**part, "area": part.get("on", "")}
    return {key: said.get(key, [] if key == "buttons" else "") for key in keys}


def assert_as_written(played: Played, line: dict, said: dict) -> None:
    """What was answered at a line of the timeline is what was reckoned by hand for it."""
    assert said["shown"] == written_of(line, said["shown"]), line["at"]
    assert said["lanes"] == [written_of(one, said["shown"]) for one in line.get("lanes", [])], line["at"]
    assert said["curing"] == line.get("curing", False), line["at"]
    heard = line.get("rings", [])
    assert [one["words"] for one in said["heard"]] == ([heard] if isinstance(heard, str) else heard), line["at"]
    reckoned, written = told_to_the_second(said["ahead"], played, line["ahead"])
    assert reckoned == written, line["at"]


@pytest.mark.parametrize("name", JOBS)
def test_the_job_goes_as_it_was_written_down(name):
    job = JOBS[name]
    played = Played(job)
    for line in job["timeline"]:
        now_ms = played.moment(line["at"])
        assert answer(played.asked(now_ms, line))["warns"] == line.get("warns", []), line["at"]
        played.do(now_ms, line)
        said = answer(played.asked(now_ms, {"do": "look"}))
        assert_as_written(played, line, said)
        played.told += [one["key"] for one in said["heard"]]


@pytest.mark.parametrize("name", JOBS)
def test_nothing_else_rings_between_the_lines_but_what_was_written_ahead(name):
    job = JOBS[name]
    played = Played(job)
    lines = [(played.moment(line["at"]), line) for line in job["timeline"]]
    for (now_ms, line), (until_ms, _) in zip(lines, [*lines[1:], (lines[-1][0] + DAY_MS, None)], strict=True):
        played.do(now_ms, line)
        _, due = told_to_the_second([], played, line["ahead"])
        state, _, times = reckoned(played.asked(now_ms, {"do": "look"}))
        for at_ms in range(now_ms, until_ms, max(1, (until_ms - now_ms) // 20)):
            rings = [[one["kind"], one["at_ms"]] for one in alarms.rings(played.on, state, times, at_ms)]
            assert all(ring in due for ring in told_to_the_second(rings, played, [])[0]), (line["at"], at_ms)


def test_every_line_that_lays_a_film_or_moves_a_clock_has_its_sum_beside_it():
    for name, job in JOBS.items():
        before = []
        for line in job["timeline"]:
            new = [ring for ring in line["ahead"] if ring not in before]
            assert not new or line.get("sum"), (name, line["at"], new)
            before = line["ahead"]


def test_every_reading_has_a_line_of_its_own():
    for name, job in JOBS.items():
        looked = [line["at"] for line in job["timeline"]]
        assert all(at in looked or nth == 0 for nth, (at, *_) in enumerate(job.get("air", []))), name
