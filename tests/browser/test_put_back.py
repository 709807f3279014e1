"""A server put back from a backup while it runs: phones that know newer taps send them again."""

import os
import subprocess
import sys

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT

from .conftest import TALL_PHONE, card, deed, heard, put_panel

pytestmark = pytest.mark.browser
LOST = "The server had lost {} sent again from this phone."


def manage(server, *words: str) -> str:
    env = {**os.environ, "SANDTIME_DATA": str(server.folder)}
    ran = subprocess.run(
        [sys.executable, "manage.py", *words], cwd=ROOT, env=env, capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    return ran.stdout


def knows(page, name: str):
    """Wait until a panel has come from the server and nothing waits."""
    page.evaluate("() => dispatchEvent(new Event('online'))")
    card(page, name)
    heard(page)


def test_taps_that_the_server_lost_come_back_from_the_phones(own_server, phones, tmp_path):
    one, two = phones(own_server.address, **TALL_PHONE), phones(own_server.address)
    heard(one)
    put_panel(one, "Hood")
    heard(one)
    knows(two, "Hood")
    assert "2 phones" in manage(own_server, "backup", str(tmp_path / "kept"))
    deed(card(one, "Hood"), "done")
    put_panel(one, "Left front door")
    heard(one)
    knows(two, "Left front door")
    two.context.set_offline(True)
    deed(card(two, "Hood"), "done")  # waits on this phone, on top of a tap that the server is about to lose
    manage(own_server, "restore", "--replace", str(tmp_path / "kept"))
    one.evaluate("() => dispatchEvent(new Event('online'))")
    expect(one.locator("#notice-words")).to_have_text(LOST.format("2 taps:"))
    heard(one)
    two.context.set_offline(False)
    knows(two, "Left front door")
    three = phones(own_server.address)
    for page in (one, two, three):
        knows(page, "Left front door")
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Blow off, clean, mask")
    for page in (one, two, three):
        page.reload()
        knows(page, "Left front door")
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text("Blow off, clean, mask")


def test_a_phone_that_is_closed_in_the_middle_of_counting_goes_on_when_it_is_opened(own_server, phones, tmp_path):
    page = phones(own_server.address)
    heard(page)
    manage(own_server, "backup", str(tmp_path / "kept"))
    put_panel(page, "Hood")
    heard(page)
    manage(own_server, "restore", "--replace", str(tmp_path / "kept"))
    cut = "**/joined/recovery.js"
    asked = []
    page.context.route(cut, lambda route: (asked.append(1), route.abort()))  # heard of it, closed before it has counted
    page.evaluate("async () => Promise.all((await caches.keys()).map((key) => caches.delete(key)))")
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.wait_for_function("() => document.getElementById('signal-words').textContent !== 'Saved.'")
    assert asked
    page.goto("about:blank")
    page.context.unroute(cut)
    page.goto(own_server.address)
    expect(page.locator("#notice-words")).to_have_text(LOST.format("1 tap:"))
    heard(page)
    other = phones(own_server.address)
    knows(other, "Hood")


def test_a_phone_that_comes_to_another_shop_tells_it_nothing_of_the_first(server, phones):
    page, other = phones(server.address), phones(server.address)
    heard(page)  # its routes are there
    heard(other)
    put_panel(page, "Hood")
    heard(page)
    here = "async () => (await import('/static/joined/floor.js')).$data_state.meta.shop"
    theirs = other.evaluate(here)
    page.context.add_cookies(other.context.cookies())
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.wait_for_function(
        "async (shop) => (await import('/static/joined/floor.js')).$data_state.meta.shop === shop", arg=theirs
    )
    heard(page)
    put_panel(other, "Tailgate")
    heard(other)
    expect(other.locator("#floor .card h2")).to_have_text(["Tailgate"])
