"""A host that lets nobody make a shop: the phone says so, and keeps what is tapped."""

import pytest
from playwright.sync_api import expect

from .conftest import Server, put_panel
from .test_screens import fits

pytestmark = pytest.mark.browser


@pytest.fixture
def closed(tmp_path):
    running = Server(tmp_path / "data").start(SANDTIME_SIGNUP="closed")
    yield running
    running.stop()


def test_a_phone_without_a_shop_is_told_whom_to_ask_and_loses_no_tap(closed, phones):
    page = phones(closed.address)
    words = page.locator("#signal-words")
    expect(words).to_have_text("This server makes no new shops. Ask a phone of your shop to let this one in.")
    put_panel(page, "Hood", "Empty")
    expect(words).to_contain_text("1 tap waits on this phone.")
    fits(page)
