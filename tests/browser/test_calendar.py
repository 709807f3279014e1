"""Alarms for the phone's calendar with no signal: taken, moved, cancelled, read back by the `icalendar` library."""

import datetime
from pathlib import Path

import icalendar
import pytest
from playwright.sync_api import expect

from .conftest import card, deed, heard, kept_offline, lay, put_panel, ready, tell_air, to_putty, with_our_clock
from .test_cup import mix
from .test_screens import fits, go

pytestmark = pytest.mark.browser
DOOR = "Left door; outer, <b>"
MINUTE_MS = 60_000
TIMES = """async (name) => {
  const { $data_views: views, $data_queries: queries } = await import('/static/joined/floor.js');
  return views.times(queries.onFloor().find((on) => views.view(on).name === name));
}"""
CUP = """async () => {
  const { $data_views: views, $data_queries: queries } = await import('/static/joined/floor.js');
  return views.times(queries.cups()[0]);
}"""
SHARES = """() => {
  navigator.canShare = ({ files }) => files.length === 1;
  navigator.share = async ({ files: [file] }) => (window.shared = [file.name, file.type, await file.text()]);
}"""


@pytest.fixture
def page(server, phones):
    """A phone that holds all it needs, its clock in our hands, with no signal."""
    page = phones(server.address, timezone_id="Europe/Berlin")
    heard(page)
    kept_offline(page)
    with_our_clock(page)
    page.wait_for_selector("#dialog-air", state="attached")
    tell_air(page, 20)
    heard(page)
    page.context.set_offline(True)
    return page


def puttied(page, name: str = DOOR):
    to_putty(page, name)
    lay(page, name)


def panel_page(page, name: str = DOOR):
    go(page, "Floor")
    card(page, name).locator("h2 button").tap()
    expect(page.locator("#screen-panel")).to_be_visible()


def words(page):
    return expect(page.locator("#calendar-panel-words"))


def moved(page):
    return expect(page.locator("#calendar-panel-moved"))


def read(download) -> list:
    text = Path(download.value.path()).read_bytes()
    calendar = icalendar.Calendar.from_ical(text)
    assert calendar["METHOD"] == "PUBLISH"
    assert all(len(line) <= 75 for line in text.split(b"\r\n"))
    return calendar.walk("VEVENT")


def taken(page) -> list:
    """The events of the file that the panel's page gives."""
    with page.expect_download() as download:
        page.tap("[data-do=calendar-panel]")
    assert download.value.suggested_filename == "sandtime-left-door-outer-b.ics"
    return read(download)


def floor_file(page) -> list:
    """The events of the file of all that rings."""
    page.evaluate("() => (location.hash = '#ring')")
    with page.expect_download() as download:
        page.tap("#ring-calendar [data-do=calendar-floor]")
    assert download.value.suggested_filename == "sandtime-floor.ics"
    return read(download)


def up_to_the_minute(ms: int) -> datetime.datetime:
    return datetime.datetime.fromtimestamp(-(-ms // MINUTE_MS) * MINUTE_MS / 1000, datetime.UTC)


def test_a_film_goes_into_a_calendar_at_its_instant_moves_with_the_air_and_is_cancelled_when_found_ready(page):
    puttied(page)
    panel_page(page)
    words(page).to_have_text("")
    (first,) = taken(page)
    opens = page.evaluate(TIMES, DOOR)["opens_at"]
    assert first["DTSTART"].dt == up_to_the_minute(opens)
    assert first["SUMMARY"].startswith(f"{DOOR}: try it")
    assert [(one["ACTION"], one["TRIGGER"].dt) for one in first.walk("VALARM")] == [("DISPLAY", datetime.timedelta())]
    words(page).to_contain_text("1 alarm in sandtime-left-door-outer-b.ics.")
    fits(page)

    tell_air(page, 17)
    moved(page).to_have_text("The clocks have moved since this file: take it again.")
    (second,) = taken(page)
    assert second["UID"] == first["UID"]
    assert second["SEQUENCE"] > first["SEQUENCE"]
    assert second["DTSTART"].dt == up_to_the_minute(page.evaluate(TIMES, DOOR)["opens_at"]) > first["DTSTART"].dt
    moved(page).to_have_text("")

    go(page, "Floor")
    deed(card(page, DOOR), "ready")
    panel_page(page)
    moved(page).to_contain_text("The clocks have moved")
    (third,) = taken(page)
    assert (third["UID"], third["STATUS"]) == (first["UID"], "CANCELLED")
    assert third["SEQUENCE"] > second["SEQUENCE"]
    assert third.walk("VALARM") == []
    words(page).to_contain_text("1 cancelled in sandtime-left-door-outer-b.ics.")


def test_what_was_handed_out_is_remembered_when_the_page_is_opened_again(page):
    puttied(page)
    panel_page(page)
    (first,) = taken(page)
    page.reload()
    ready(page)
    words(page).to_contain_text("File taken")
    tell_air(page, 17)
    moved(page).to_contain_text("The clocks have moved")
    (second,) = taken(page)
    assert (second["UID"], second["SEQUENCE"] > first["SEQUENCE"]) == (first["UID"], True)


def test_the_floor_goes_into_one_file_and_a_panel_put_away_is_cancelled_in_the_next(page):
    puttied(page, "Hood")
    puttied(page, "Roof")
    both = floor_file(page)
    expect(page.locator("#calendar-floor-words")).to_contain_text("2 alarms in sandtime-floor.ics.")
    fits(page)
    assert {one["SUMMARY"].split(":")[0] for one in both} == {"Hood", "Roof"}
    assert len({one["UID"] for one in both}) == len(both)
    panel_page(page, "Hood")
    words(page).to_contain_text("File taken")
    page.tap("#screen-panel > .pair [data-do=away]")
    after = {one["SUMMARY"].split(":")[0]: one["STATUS"] for one in floor_file(page)}
    assert after == {"Hood": "CANCELLED", "Roof": "CONFIRMED"}
    expect(page.locator("#calendar-floor-words")).to_contain_text("1 alarm, 1 cancelled in sandtime-floor.ics.")


def test_a_cup_rings_before_its_pot_life_ends_and_when_it_has_never_late_by_a_minute(page):
    put_panel(page, "Hood")
    mix(page)
    card(page, "Cup")
    found = {one["SUMMARY"].split(": ", 2)[2]: one for one in floor_file(page)}
    shuts = page.evaluate(CUP)["shuts_at"]
    (before,) = [one for says, one in found.items() if says.startswith("pot life ends at")]
    (over,) = [one for says, one in found.items() if says.startswith("pot life over since")]
    assert len(found) == 2
    assert over["DTSTART"].dt == datetime.datetime.fromtimestamp(shuts // MINUTE_MS * 60, datetime.UTC)
    assert before["DTSTART"].dt < over["DTSTART"].dt
    assert before["DTEND"].dt == datetime.datetime.fromtimestamp(shuts // 1000, datetime.UTC)
    assert len(before.walk("VALARM")) == len(over.walk("VALARM")) == 1


def test_a_phone_that_can_hand_files_on_offers_it_with_the_file_just_made(page):
    puttied(page)
    page.evaluate(SHARES)
    panel_page(page)
    expect(page.locator("#calendar-panel-share")).to_be_hidden()
    taken(page)
    page.tap("#calendar-panel-share")
    page.wait_for_function("() => window.shared")
    name, kind, text = page.evaluate("() => window.shared")
    assert (name, kind) == ("sandtime-left-door-outer-b.ics", "text/calendar")
    assert len(icalendar.Calendar.from_ical(text).walk("VEVENT")) == 1
    fits(page)
    tell_air(page, 17)
    moved(page).to_contain_text("The clocks have moved")
    expect(page.locator("#calendar-panel-share")).to_be_hidden()


def test_a_panel_with_nothing_to_ring_says_so_and_makes_no_file(page):
    put_panel(page, "Hood")
    panel_page(page, "Hood")
    page.tap("[data-do=calendar-panel]")
    expect(page.locator("#notice-words")).to_have_text(
        "Nothing will ring, so there is nothing for a calendar. No file was made."
    )
    words(page).to_have_text("")
