"""A phone whose unused shop was forgotten, or that may not begin just now: it says so, and loses no tap."""

import contextlib
import sqlite3
import time

import pytest
from playwright.sync_api import expect

from .conftest import Server, card, heard, kept_offline, put_panel

pytestmark = pytest.mark.browser


@pytest.fixture
def host(tmp_path):
    running = Server(tmp_path / "data")
    yield running
    running.stop()


def at(host, *words: str) -> list:
    with contextlib.closing(sqlite3.connect(host.folder / "sandtime.sqlite3", timeout=20)) as database, database:
        return [database.execute(one).fetchall() for one in words][-1]


def test_what_was_tapped_without_signal_in_a_shop_that_was_forgotten_meanwhile_arrives_in_the_next(host, phones):
    page = phones(host.start().address)
    heard(page)
    kept_offline(page)
    (first,) = at(host, "SELECT id FROM shop_phone")
    page.context.set_offline(True)
    put_panel(page, "Hood", "Empty")
    host.stop()
    at(host, "UPDATE shop_shop SET made_ms = 1", "UPDATE shop_phone SET seen_ms = 1")
    host.start()
    for _ in range(200):
        if not at(host, "SELECT id FROM shop_shop"):
            break
        time.sleep(0.05)
    assert at(host, "SELECT id FROM shop_shop") == []
    page.context.set_offline(False)
    heard(page)
    expect(card(page, "Hood")).to_be_visible()
    assert at(host, "SELECT count(*) FROM timers_act WHERE kind = 'panel_added'") == [(1,)]
    (second,) = at(host, "SELECT id FROM shop_phone")
    assert second != first
    assert at(host, "SELECT count(*) FROM timers_act WHERE replace(body, '-', '') LIKE '%" + first[0] + "%'") == [(0,)]
    page.reload()
    expect(card(page, "Hood")).to_be_visible()
    heard(page)


def test_a_phone_that_may_not_begin_just_now_says_so_and_asks_again(host, phones):
    host.start(SANDTIME_BEGINS_PER_ADDRESS="1")
    heard(phones(host.address))
    page = phones(host.address)
    words = page.locator("#signal-words")
    expect(words).to_contain_text("The server asks to wait. Clocks keep running")
    put_panel(page, "Hood", "Empty")
    expect(words).to_contain_text("1 tap waits on this phone.")
    at(host, "DELETE FROM shop_ratelimit")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    heard(page)
    assert at(host, "SELECT count(*) FROM timers_act WHERE kind = 'panel_added'") == [(1,)]
