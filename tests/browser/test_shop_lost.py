"""A server that has lost the shop for good, and taps that were taken out as a file: the phones bring both back."""

import json
import sqlite3
from contextlib import closing

import pytest
from playwright.sync_api import expect

from tests.browser.conftest import OUR_TABLES, Server
from tests.timers.log.test_sync import STEPS, now_ms, tap

from .conftest import card, deed, heard, put_panel, ready
from .test_join import code, joins, to_phones, types
from .test_screens import go

pytestmark = pytest.mark.browser
ACTS = """async () => { const { $data_state: shop } = await import('/static/joined/floor.js');
  return shop.heardActs().map((act) => act.id); }"""


@pytest.fixture
def forgetful(tmp_path):
    """A server where each phone has a shop of its own."""
    running = Server(tmp_path / "data").start()
    yield running
    running.stop()


def loses_all(server):
    with closing(sqlite3.connect(server.folder / "sandtime.sqlite3", timeout=20)) as database, database:
        for (name,) in database.execute(OUR_TABLES).fetchall():
            database.execute(f"DELETE FROM {name}")


def test_a_phone_makes_its_shop_anew_on_a_server_that_lost_it(forgetful, phones):
    page = phones(forgetful.address)
    heard(page)
    put_panel(page, "Hood")
    deed(card(page, "Hood"), "done")
    heard(page)
    before = set(page.evaluate(ACTS))
    step = card(page, "Hood").locator("[data-text=step]").text_content()
    loses_all(forgetful)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    go(page, "Book")
    expect(page.locator("#book-signal")).to_contain_text("does not know this phone")
    expect(page.locator("#anew a")).to_have_attribute("href", "#join")
    page.tap("#anew-ask")
    with page.expect_navigation():
        page.tap("[data-do=anew-make]")
    ready(page)
    heard(page)
    expect(card(page, "Hood").locator("[data-text=step]")).to_have_text(step)
    assert before <= set(page.evaluate(ACTS))
    put_panel(page, "Left front door")
    heard(page)
    page.reload()
    expect(page.locator("#floor .card")).to_have_count(2)


# --- a file ---


def file_of(shop: str, acts: list) -> dict:
    said = json.dumps({"sandtime_taps": 1, "shop": shop, "name": "My shop", "acts": acts})
    return {"name": "sandtime-taps.json", "mimeType": "application/json", "buffer": said.encode()}


def test_taps_taken_out_as_a_file_are_shown_and_taken_in_again(server, phones):
    page = phones(server.address)
    heard(page)
    on = "panel:" + tap()["id"]
    added = {**tap(on, "panel_added", name="Hood", steps=STEPS), "at": now_ms() - 60_000}
    shop = page.evaluate("async () => (await import('/static/joined/floor.js')).$data_state.meta.shop")
    page.goto(f"{server.address}#take")
    wrong = {
        "comes from another shop": file_of("0199d7a0-0000-4000-8000-000000000000", [added]),
        "holds no taps": {**file_of(shop, []), "buffer": b"{]"},
        "cannot be kept": file_of(shop, [added, {**tap(), "temp_dc": "hot"}]),
        "stands for two taps": file_of(shop, [added, added]),
    }
    for words, file in wrong.items():
        page.set_input_files("#take-file", file)
        expect(page.locator("#take-why")).to_contain_text(words)
        expect(page.locator("#take-why")).to_contain_text("Nothing was taken.")
        expect(page.locator("#take-sets li")).to_have_count(0)
    page.set_input_files("#take-file", file_of(shop, [added]))
    expect(page.locator("#take-sets h2")).to_have_text("In this file")
    expect(page.locator("#take-why")).to_be_empty()
    page.tap("[data-do=take-take]")
    expect(page.locator("#take-told")).to_contain_text("Taken: 1 tap.")
    go(page, "Floor")
    expect(page.locator("#floor .card h2")).to_have_text(["Hood"])
    heard(page)


# --- the other phones of a lost shop ---


def joins_by_code(keeper, other):
    keeper.goto(keeper.url.partition("#")[0] + "#floor")
    to_phones(keeper)
    typed, _ = code(keeper)
    other.goto(other.url.partition("#")[0] + "#join")
    types(other, typed)
    expect(other.locator("#join-in")).to_be_visible()


def is_strange(page):
    page.context.set_offline(False)
    page.evaluate("() => dispatchEvent(new Event('online'))")
    expect(page.locator("#signal-words")).to_contain_text("does not know this phone")


def test_another_phone_of_the_lost_shop_tells_what_the_new_one_lacks(forgetful, phones):
    one = phones(forgetful.address)
    heard(one)
    put_panel(one, "Hood")
    heard(one)
    two = phones(forgetful.address)
    heard(two)
    joins_by_code(one, two)
    joins(two)
    ready(two)
    card(two, "Hood")
    heard(two)
    one.context.set_offline(True)
    put_panel(two, "Left front door")
    heard(two)
    two.context.set_offline(True)
    step = "Feather-edge P180"
    deed(card(two, "Hood"), "done")
    expect(card(two, "Hood").locator("[data-text=step]")).to_have_text(step)
    before = set(two.evaluate(ACTS))
    loses_all(forgetful)

    is_strange(one)
    go(one, "Book")
    one.tap("#anew-ask")
    with one.expect_navigation():
        one.tap("[data-do=anew-make]")
    ready(one)
    heard(one)
    is_strange(two)
    joins_by_code(one, two)
    expect(two.locator("#join-waits")).to_contain_text("1 tap stands only on this phone")
    expect(two.locator("#join-waits")).to_contain_text("If this is that shop made anew, it goes along")
    joins(two, "Booth")
    ready(two)
    expect(two.locator("#notice-words")).to_contain_text("This is your shop made anew")
    go(one, "Floor")
    for page in (one, two):
        card(page, "Left front door")
        expect(card(page, "Hood").locator("[data-text=step]")).to_have_text(step)
        heard(page)
    assert before <= set(one.evaluate(ACTS))


def test_nothing_of_a_lost_shop_goes_into_a_real_other_one(forgetful, phones):
    one, two = phones(forgetful.address), phones(forgetful.address)
    heard(one)
    put_panel(one, "Roof")
    heard(one)
    heard(two)
    put_panel(two, "Hood")
    heard(two)
    two.context.set_offline(True)
    deed(card(two, "Hood"), "done")
    two.context.clear_cookies()
    is_strange(two)
    joins_by_code(one, two)
    joins(two)
    ready(two)
    expect(two.locator("#signal-words")).to_contain_text("1 tap refused: look in the Book")
    expect(two.locator("#floor .card h2")).to_have_text(["Roof"])
    go(two, "Book")
    left = "Made in “My shop”, which this phone has left. It stays on this phone."
    expect(two.locator("#waiting .why")).to_have_text([left])
    assert set(two.evaluate(ACTS)) == set(one.evaluate(ACTS))
