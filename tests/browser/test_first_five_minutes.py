"""The first five minutes of three people: as many taps as README.md says, and no more."""

import re

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT

from .conftest import add_panel, card, deed, heard, in_hand, lay, to_coat, to_putty

pytestmark = pytest.mark.browser
README = (ROOT / "README.md").read_text(encoding="utf-8")
TABLE = README.partition("## The first five minutes, in taps")[2].partition("\n## ")[0]
PROMISED = {what: int(taps) for what, taps in re.findall(r"^\| [^|]+ \| ([^|]+) \| (\d+) \|$", TABLE, re.MULTILINE)}
COUNT = """() => {
  if (window.taps === undefined) addEventListener('click', ({ isTrusted }) => isTrusted && (window.taps += 1), true);
  window.taps = 0;
}"""
played = []


@pytest.fixture
def counted():
    """Taps since a moment on a page are those that the line of README.md with these words promises."""

    def begin(page, words: str):
        page.evaluate(COUNT)
        (what,) = [one for one in PROMISED if words in one]
        played.append(what)

        def end():
            assert page.evaluate("window.taps") == PROMISED[what]

        return end

    return begin


def test_at_home_with_filler_just_laid(server, phones, counted):
    page = in_hand(phones(server.address))
    end = counted(page, "its clock runs")
    page.tap("[data-do=add]")
    page.locator("#add-chips button", has_text="Hood").tap()
    page.get_by_label("Further on: Chips and small dings").tap()
    page.locator("#begin-steps button", has_text="just laid").first.tap()
    expect(card(page, "Hood")).to_have_attribute("data-state", "wait")
    end()
    expect(card(page, "Hood").locator("[data-text=laid]")).to_contain_text("laid")
    card(page, "Hood").locator("h2 button").tap()
    end = counted(page, "two degrees colder")
    page.tap("#air")
    for _ in range(2):
        page.tap("#dialog-air [data-dial=temp][data-by='-1']")
    page.tap("[data-do=air-tell]")
    expect(page.locator("#air-words")).to_contain_text("18 °C")
    end()
    end = counted(page, "the nail says it is ready")
    page.clock.fast_forward("00:30:00")
    page.clock.run_for(1_000)
    page.locator("#ringing [data-do=silence]").tap()
    page.locator("#panel-card [data-do=ready]").tap()
    expect(page.locator("#panel-card .card")).to_have_attribute("data-state", "free")
    end()


def test_a_painter_between_coats(server, phones, counted):
    page = in_hand(phones(server.address))
    to_coat(page, "Hood", coats=2)
    lay(page, "Hood")
    page.clock.fast_forward("00:20:00")
    page.clock.run_for(1_000)
    end = counted(page, "silenced")
    page.locator("#ringing [data-do=silence]").tap()
    expect(page.locator("#ringing")).to_be_hidden()
    end()
    end = counted(page, "the next coat is laid")
    deed(card(page, "Hood"), "lay")
    page.locator("#lay-offers button").first.tap()
    expect(page.locator("#undo-words")).to_contain_text("coat 2")
    end()
    end = counted(page, "its pot life runs")
    page.locator(".bar a", has_text="Mix").tap()
    page.tap("#mix-start")
    expect(page.locator("#floor [data-on^='cup:']")).to_be_visible()
    end()


def test_a_shop_with_several_phones(one_shop, phones, counted):
    page, other = phones(one_shop.address), phones(one_shop.address)
    for one in (page, other):
        heard(one)
    end = counted(page, "one more phone is let in")
    page.locator(".bar a", has_text="Book").tap()
    page.locator("#screen-book a[href='#phones']").tap()
    page.locator("#phones-lets button").first.tap()
    expect(page.locator("#phones-code")).not_to_be_empty()
    end()
    page.locator(".bar a", has_text="Floor").tap()
    to_putty(page)
    lay(page, "Hood")
    add_panel(other, "Roof")  # a phone is known by what it did, or by its name
    expect(card(page, "Roof")).to_be_attached()
    end = counted(page, "a panel is taken")
    card(page, "Hood").locator("h2 button").tap()
    page.tap("#panel-take")
    expect(page.locator("#panel-card [data-text=taken]")).to_have_text("Taken by this phone")
    end()
    page.locator(".bar a", has_text="Floor").tap()
    end = counted(page, "handed over with a note")
    card(page, "Hood").locator("h2 button").tap()
    page.tap("[data-do=people-hand]")
    page.locator("#hand-chips button").first.tap()
    page.locator("#hand-phones button").first.tap()
    expect(page.locator("#panel-card [data-text=taken]")).to_contain_text("Handed to")
    end()


def test_every_line_was_played():
    assert len(PROMISED) == 9
    assert set(played) in ({*PROMISED}, set())  # none where this test is run alone
