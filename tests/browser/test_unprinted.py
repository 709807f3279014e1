"""A keeper is told of the recovery phrase after the first day of use, until there is one."""

import re

import pytest
from playwright.sync_api import expect

from .conftest import heard, put_panel, ready
from .test_screens import fits

pytestmark = pytest.mark.browser
HOUR_MS = 3_600_000
DUE = """async (all) => { const { $phones_phrase_reminder: unprinted } = await import('/static/joined/notices.js');
  return all.map(([said, now]) => unprinted.isDue(said, now)); }"""
SAID = {"role": "keeper", "phrase": False, "rings": False, "began": 0, "closed": None}


def test_the_line_is_due_a_day_after_the_first_work_and_a_day_after_it_was_closed(server, phones):
    page = phones(server.address)
    day = 24 * HOUR_MS
    rows = [
        (SAID, day + 1, True),
        (SAID, day, False),
        ({**SAID, "began": None}, day + 1, False),
        ({**SAID, "role": "painter"}, day + 1, False),
        ({**SAID, "role": "wall"}, day + 1, False),
        ({**SAID, "phrase": True}, day + 1, False),
        ({**SAID, "phrase": None}, day + 1, False),
        ({**SAID, "rings": True}, day + 1, False),
        ({**SAID, "closed": day + 5}, 2 * day + 4, False),
        ({**SAID, "closed": day + 5}, 2 * day + 5, True),
    ]
    assert page.evaluate(DUE, [row[:2] for row in rows]) == [due for *_, due in rows]


class Later:
    """A phone and its server's clock, so many hours further."""

    def __init__(self, page):
        self.page, self.ahead_ms = page, 0
        page.route(re.compile("/(clock|sync)$"), self._answered)

    def go(self, hours: int):
        self.ahead_ms += hours * HOUR_MS
        self.page.add_init_script(f"{{ const now = Date.now; Date.now = () => now() + {hours * HOUR_MS}; }}")
        self.page.reload()
        ready(self.page)
        heard(self.page)
        expect(self.page.locator("body[data-whole=yes]")).to_be_attached()

    def _answered(self, route):
        answer = route.fetch()
        body = re.sub(r'(?<=data-now=")\d+|^\d+$', lambda said: str(int(said[0]) + self.ahead_ms), answer.text())
        route.fulfill(response=answer, body=body)


def test_a_keeper_is_told_of_the_phrase_after_a_day_until_there_is_one(server, phones):
    page = phones(server.address, service_workers="block")
    heard(page)
    put_panel(page, "Left front door")
    heard(page)
    line, later = page.locator("#unprinted"), Later(page)
    later.go(23)
    expect(line).to_be_hidden()
    later.go(2)
    expect(line).to_contain_text("If every keeper's phone is lost, nobody gets in again.")
    fits(page)
    page.tap("[data-do=unprinted-close]")
    expect(line).to_be_hidden()
    later.go(23)
    expect(line).to_be_hidden()
    later.go(2)
    line.locator("a").tap()
    expect(page.locator("#screen-phones")).to_be_visible()
    page.locator("#phones-phrase-deed").tap()
    expect(page.locator("#phones-phrase")).not_to_be_empty()
    page.locator(".bar a", has_text="Floor").tap()
    expect(line).to_be_hidden()
    later.go(50)
    expect(page.locator("#floor .card")).to_have_count(1)
    expect(line).to_be_hidden()
