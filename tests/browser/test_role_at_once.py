"""What a keeper decides about another phone shows there at once, though that phone looks at nothing by itself."""

import pytest
from playwright.sync_api import expect

from .conftest import heard
from .test_join import to_phones
from .test_live import listening

pytestmark = pytest.mark.browser


def test_a_phone_hears_at_once_of_its_role_its_end_and_that_it_is_let_back_in(own_server, phones):
    keeper = phones(own_server.address)
    heard(keeper)
    other = phones(own_server.address)
    listening(other)
    to_phones(keeper)
    row = keeper.locator(".phonerow").filter(has_not=keeper.locator("small", has_text="this phone"))

    def does(button: str):
        row.get_by_role("button", name=button, exact=True).tap()

    does("Change")
    for role in ("wall", "keeper"):
        does(role.capitalize())
        expect(other.locator("body")).to_have_attribute("data-role", role)
    does("End this phone")
    does("Yes, end it")
    expect(other.locator("#signal-words")).to_contain_text("A keeper has ended this phone.")
    does("Let it back in")
    expect(other.locator("#signal-words")).to_have_text("Saved.")
    does("Painter")
    expect(other.locator("body")).to_have_attribute("data-role", "painter")
