"""Calendar files through both twins: random events, files one after another, what is said beside the last."""

import pytest

from tests.browser.test_twins_of_table import alike
from tests.browser.twins import rnd_for
from tests.random_logs.sheets import HOSTILE, NOW_MS
from timers.core.base.units import DAY_MS, MINUTE_MS
from timers.core.files import ics

pytestmark = pytest.mark.browser
TEXTS = [
    *HOSTILE,
    "",
    "Left door: coat 2 can go on. Until 16:05",
    "a\x00b\x1fc\x7fd\x80",
    "é" * 80,
    "\r\n\r\r\n",
    "\\,;",
]


def an_event(rnd, uid: str) -> dict:
    begins = rnd.choice([NOW_MS + rnd.randint(-5, 5) * MINUTE_MS, rnd.randint(0, ics.LATEST_MS)])
    begins = rnd.choice([begins] * 9 + [-1, ics.LATEST_MS + 1])
    return {
        "uid": uid,
        "begins_ms": begins,
        "until_ms": rnd.choice([None, begins + rnd.randint(-1000, DAY_MS)]),
        "summary": rnd.choice(TEXTS),
        "description": rnd.choice(TEXTS),
        "alarm_min_before": rnd.choice(
            [None, 0, 0, 5, rnd.randint(0, ics.LONGEST_BEFORE_MIN), rnd.choice([0, -1, 10_081])]
        ),
    }


def a_floor(rnd) -> list[dict]:
    return [an_event(rnd, uid) for uid in ("p", "q,r", "__proto__", "s") if rnd.random() < 0.6]


def test_both_twins_write_the_same_file(core_page):
    rnd, cases = rnd_for("ics"), []
    for _ in range(400):
        events = [
            {**one, "sequence": rnd.choice([0, 7, ics.HIGHEST, ics.HIGHEST, 2**31]), "cancelled": rnd.random() < 0.3}
            for one in a_floor(rnd)
        ]
        cases.append([events, rnd.choice([NOW_MS, NOW_MS + rnd.randint(0, DAY_MS)]), rnd.choice(TEXTS)])
    answers = alike(core_page, ics, "calendar", [*cases, [[{}] * 501, NOW_MS, ""]])
    assert sum(said.startswith("BEGIN:VCALENDAR") for said in answers) > 100
    assert len({said.split(" (")[0] for said in answers if said.startswith("Refused")}) >= 5


def test_both_twins_escape_fold_and_stamp_alike(core_page):
    rnd = rnd_for("ics lines")
    texts = ["".join(rnd.choices([*"ab;,\\\n\t é→🚙\x07", *HOSTILE], k=rnd.randint(0, 60))) for _ in range(400)]
    alike(core_page, ics, "escaped", [[text] for text in texts])
    alike(core_page, ics, "folded", [[ics.escaped(text)] for text in texts])
    alike(core_page, ics, "stamp", [[rnd.randint(0, ics.LATEST_MS // 1000)] for _ in range(400)])


def test_both_twins_renew_a_file_alike(core_page):
    rnd, cases, asked = rnd_for("ics again"), [], []
    for _ in range(150):
        handed: list[dict] = []
        for _ in range(rnd.randint(1, 5)):
            same = [{key: one[key] for key in one if key not in ("sequence", "cancelled", "last_ms")} for one in handed]
            events = rnd.choice([a_floor(rnd), same])
            now = NOW_MS + rnd.randint(-6, 6) * MINUTE_MS
            cases.append([events, handed, now, rnd.randint(0, 20)])
            asked.append([events, handed, now])
            handed = ics.renewed(*cases[-1])
    alike(core_page, ics, "renewed", cases)
    assert set(alike(core_page, ics, "since", asked)) == {"", ics.MOVED, ics.MORE}
