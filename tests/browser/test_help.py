"""Help: an answer stands where the question arises, with no signal, at both sizes."""

import re

import pytest
from playwright.sync_api import expect

from tests.conftest import ROOT

from .conftest import card, heard, in_hand, put_panel
from .test_screens import fits

pytestmark = pytest.mark.browser
HELP = (ROOT / "templates/timers/_help.html").read_text(encoding="utf-8")
ANSWERS = set(re.findall(r'<details id="help-([a-z]+)"', HELP))
QUESTION = re.compile(r'(?:#help=|data-do="help-open" data-about=")([a-z]+)"')
ASKED = [
    (path.name, about)
    for path in sorted((ROOT / "templates").rglob("*.html"))
    for about in QUESTION.findall(path.read_text(encoding="utf-8"))
]


@pytest.mark.parametrize(("where", "about"), ASKED)
def test_every_question_asked_on_a_screen_has_an_answer(where, about):
    assert about in ANSWERS


def test_the_answer_opens_with_no_signal_and_the_way_back_leads_to_the_panel(server, phones):
    page = in_hand(phones(server.address))
    put_panel(page, "Hood")
    card(page, "Hood").locator("h2 button").tap()
    page.locator("#screen-panel a", has_text="What is a window?").tap()
    expect(page.locator("#help-window p").first).to_be_visible()
    expect(page.locator("#screen-help details[open]")).to_have_count(1)
    fits(page)
    page.locator("#help-window summary").tap()
    for answer in page.locator("#screen-help summary").all():
        answer.tap()
    fits(page)
    page.tap("[data-do=help-back]")
    expect(page.locator("#panel-name")).to_have_text("Hood")


def test_from_the_sheet_of_the_air_the_answer_opens_and_the_sheet_closes(server, phones):
    page = phones(server.address)
    heard(page)
    page.tap("[data-do=air]")
    page.tap("#dialog-air [data-do=help-open]")
    expect(page.locator("#help-moved p").first).to_be_visible()
    assert page.evaluate("() => document.querySelectorAll('dialog[open]').length") == 0
    page.goto(f"{server.address}#help=ring")
    expect(page.locator("#help-ring p").first).to_be_visible()
    expect(page.locator("#help-moved p").first).to_be_hidden()
