"""A whole door, as a person in the garage plays it, on a touch phone, with the server gone for most of it."""

import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, lay, put_panel, ready, tell_air

pytestmark = pytest.mark.browser
NAME = "Left front door"


def words(page, key: str, name: str = NAME) -> str:
    return card(page, name).locator(f"[data-text='{key}']").first.inner_text()


def shown(page) -> list[dict]:
    """What every card on the floor says, but for the time left, which runs on while a page is loaded."""
    return page.evaluate("""() => [...document.querySelectorAll('#floor .card')].map((card) => ({
      on: card.dataset.on, state: card.dataset.state,
      words: [...card.querySelectorAll('[data-text]:not([data-text=left])')].map((node) => node.textContent),
      buttons: [...card.querySelectorAll('.deeds button')].filter((b) => !b.hidden).map((b) => b.textContent) }))""")


def says(page, key: str, wanted: str):
    expect(card(page, NAME).locator(f"[data-text='{key}']").first).to_have_text(wanted)


def stands(page, state: str):
    expect(card(page, NAME)).to_have_attribute("data-state", state)


def until(page, script: str, arg=None):
    page.wait_for_function(script, arg=arg, timeout=10_000)


def test_a_whole_door_with_the_server_gone(own_server, phones):
    page = phones(own_server.address)
    heard(page)
    kept_offline(page)
    own_server.stop()

    # Cold start: a new page in the same phone, no server.
    context = page.context
    page.close()
    page = context.new_page()
    page.clock.install()
    page.goto(own_server.address)
    ready(page)
    assert page.inner_text("#hands") == "No panel yet. Add the first one."

    tell_air(page, 22)
    put_panel(page, NAME)
    for _ in range(3):  # wash, feather-edge, clean
        deed(card(page, NAME), "done")
    says(page, "step", "Glazing putty")

    # Putty: twenty minutes at 22 degrees, then the hand says ready.
    lay(page, NAME)
    stands(page, "wait")
    says(page, "left", "20 min")
    page.clock.fast_forward("19:00")
    stands(page, "wait")
    page.clock.fast_forward("01:10")
    stands(page, "try")
    deed(card(page, NAME), "notyet")
    stands(page, "asked")
    page.clock.fast_forward("05:10")
    stands(page, "try")
    deed(card(page, NAME), "ready")
    deed(card(page, NAME), "done")  # blocked
    deed(card(page, NAME), "done")  # cleaned

    # A low spot goes back to the putty, for that area only.
    steps_before = words(page, "place")
    card(page, NAME).locator("h2 button").tap()
    page.locator("#panel-back").tap()
    page.locator("#back-whys button", has_text="low spot").tap()
    page.locator("#back-wheres button", has_text="lower edge").tap()
    page.locator("#back-plan button", has_text="Back to Glazing putty").tap()
    page.locator(".bar a", has_text="Floor").tap()
    says(page, "step", "Sand out P180 (low spot, lower edge)")
    assert words(page, "place") != steps_before
    deed(card(page, NAME), "done")
    deed(card(page, NAME), "done")  # cleaned
    says(page, "step", "Glazing putty (low spot, lower edge)")
    lay(page, NAME)
    page.clock.fast_forward("20:10")
    stands(page, "try")
    for do in ("ready", "done", "done"):
        deed(card(page, NAME), do)

    # No metal shows, so no spot primer.  Two coats of surfacer; the shop cools between them and the clock moves.
    says(page, "step", "Spot prime where metal shows")
    deed(card(page, NAME), "skip")
    says(page, "step", "Surfacer, coat 1 of 2")
    lay(page, NAME)
    says(page, "left", "10 min")
    warm = words(page, "say")
    tell_air(page, 16)
    until(page, "(warm) => document.querySelector('.card [data-text=say]').textContent !== warm", warm)
    page.clock.fast_forward("20:00")
    stands(page, "open")
    lay(page, NAME)
    says(page, "step", "Guide coat")

    # Undo the second coat, within ten seconds and more; then from the history it is put back.
    page.clock.fast_forward("00:10")
    page.tap("[data-do=undo-last]")
    says(page, "step", "Surfacer, coat 2 of 2")
    card(page, NAME).locator("h2 button").tap()
    page.locator("#acts .actrow[data-out=yes]", has_text="Laid: Surfacer").locator("button", has_text="Put back").tap()
    page.locator(".bar a", has_text="Floor").tap()
    says(page, "step", "Guide coat")

    # Reload with the server still gone: everything is there, and the screen says what waits.
    page.clock.fast_forward("00:20")
    before = shown(page)
    page.reload()
    ready(page)
    assert shown(page) == before
    until(
        page,
        "() => document.getElementById('signal-words').textContent.startsWith('The server is not reached')",
    )
    assert "taps wait on this phone" in page.inner_text("#signal-words")

    # The server is back: all arrives once; a second phone of the shop shows the same floor.
    own_server.start()
    page.evaluate("() => dispatchEvent(new Event('online'))")
    page.clock.fast_forward("01:00")
    heard(page)
    other = phones(own_server.address)
    heard(other)
    page.reload()
    ready(page)
    heard(page)
    assert [one["on"] for one in shown(other)] == [one["on"] for one in shown(page)]
    assert words(other, "step") == words(page, "step") == "Guide coat"
