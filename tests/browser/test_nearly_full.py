"""What a person sees of a quota: told before a panel is full, refused in words after."""

import pytest
from playwright.sync_api import expect

from .conftest import Server, card, deed, heard, lay, to_putty

pytestmark = pytest.mark.browser


@pytest.fixture
def narrow(tmp_path):
    """A server on which a panel holds five taps."""
    running = Server(tmp_path / "data").start(SANDTIME_THING_ACTS="5")
    yield running
    running.stop()


def test_a_panel_that_is_nearly_full_is_said_once_a_day_and_a_tap_too_many_is_refused_in_the_book(narrow, phones):
    page = phones(narrow.address)
    heard(page)
    to_putty(page, "Hood")
    expect(page.locator("#notice-words")).to_have_text("Hood is 80 % full. Begin a new one in time.", timeout=30_000)
    page.tap("#notice [data-do=hush]")
    expect(page.locator("#notice")).to_be_hidden()
    lay(page, "Hood")
    heard(page)
    expect(page.locator("#notice")).to_be_hidden()
    deed(card(page, "Hood"), "ready")
    expect(page.locator("#signal-words")).to_contain_text("1 tap refused: look in the Book", timeout=30_000)
