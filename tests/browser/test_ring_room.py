"""How this phone rings: what is said of each way, what is chosen, the trial, and the track of the locked phone."""

import base64
import io
import wave

import pytest
from playwright.sync_api import expect

from .conftest import in_hand, lay, ready, tell_air, to_putty
from .test_ringing import SPY
from .test_screens import fits, go

pytestmark = pytest.mark.browser
WAV = """async ([marks, length]) => {
  const { wav } = await import('/js/core/files/track.js');
  const blob = new Blob(wav(marks, length));
  if (blob.size > 2000000) return blob.size;
  const bytes = new Uint8Array(await blob.arrayBuffer());
  let text = '';
  for (const byte of bytes) text += String.fromCharCode(byte);
  return btoa(text);
}"""


def test_the_trial_rings_after_thirty_seconds_and_its_answer_is_kept(server, phones):
    page = in_hand(phones(server.address), SPY)
    go(page, "Book")
    page.locator("#screen-book a[href='#ring']").tap()
    page.tap("#ring-trial")
    expect(page.locator("#ring-trial")).to_contain_text("lock the phone")
    page.clock.run_for(28_000)
    assert page.evaluate("notes") == 0
    page.clock.run_for(3_000)
    page.wait_for_function("() => notes > 0")
    page.tap("[data-rang=yes]")
    expect(page.locator("#ring-trial-words")).to_contain_text(
        "with Sandtime in front: this page rang on time. It was heard."
    )
    page.reload()
    ready(page)
    expect(page.locator("#ring-trial-words")).to_contain_text("It was heard.")


def test_the_room_says_each_way_and_what_is_chosen_is_kept(server, phones):
    page = in_hand(phones(server.address), SPY)
    page.evaluate("() => { location.hash = '#ring'; }")
    expect(page.locator("#ring-ways h3")).to_have_count(7)
    fits(page)
    voice = page.locator(".way", has_text="Voice")
    voice.locator("button").tap()
    expect(voice.locator("button")).to_have_text("On. Turn off")
    assert page.evaluate("spoken") == ["Left door: coat 2 can go on."]
    page.locator("#ring-kinds button", has_text="Something opens").tap()
    page.tap("#ring-quiet")
    page.tap("[data-which=from][data-by='30']")
    expect(page.locator("#ring-from")).to_have_text("22:30")
    fits(page)
    page.reload()
    ready(page)
    expect(page.locator(".way", has_text="Voice").locator("button")).to_have_text("On. Turn off")
    expect(page.locator("#ring-quiet")).to_have_text("Quiet from 22:30 to 06:00. Turn off")
    expect(page.locator("#ring-kinds button", has_text="Something opens")).to_have_attribute("aria-pressed", "false")


def test_the_track_plays_from_a_tap_and_holds_the_next_tone(server, phones):
    page = in_hand(phones(server.address), SPY)
    to_putty(page)
    lay(page, "Hood")
    page.evaluate("() => { location.hash = '#ring'; }")
    expect(page.locator("#ring-next")).to_contain_text("Hood: try it: Block P180")
    track = page.locator(".way", has_text="Track for the locked phone")
    track.locator("button").tap()
    page.clock.run_for(2_000)
    expect(track).to_contain_text("1 tone in it")
    assert "Hood: try it" in page.evaluate("navigator.mediaSession.metadata.title")
    tell_air(page, 15)
    page.clock.run_for(2_000)
    expect(track).to_contain_text("1 tone in it")
    track.locator("button").tap()
    expect(track.locator("button")).to_have_text("Off. Turn on")


def test_the_track_is_a_wave_file_with_a_noise_floor_and_full_tones_at_their_moments(core_page):
    said = core_page.evaluate(WAV, [[{"at_ms": 61_000, "tune": "closes"}, {"at_ms": 12_345, "tune": "opens"}], 90_000])
    with wave.open(io.BytesIO(base64.b64decode(said))) as file:
        assert (file.getnchannels(), file.getsampwidth(), file.getframerate()) == (1, 1, 8_000)
        assert file.getnframes() == 90 * 8_000
        samples = file.readframes(file.getnframes())
    for begin, end in [(0, 12_345), (32_345, 61_000), (81_000, 90_000)]:
        floor = samples[begin * 8 : end * 8]
        assert set(floor) == {127, 128}
        assert 0.4 < floor.count(128) / len(floor) < 0.6
    for begin in (12_345, 61_000):
        assert samples[begin * 8] == 255
        tone = samples[begin * 8 : begin * 8 + 3_600]
        assert set(tone) == {0, 255}


def test_a_track_is_never_longer_than_an_hour(core_page):
    marks = [
        {"at_ms": 3_599_000, "tune": "opens"},
        {"at_ms": 4_000_000, "tune": "opens"},
        {"at_ms": 0, "tune": "opens"},
    ]
    assert core_page.evaluate(WAV, [marks, 9_000_000]) == 44 + 3_600 * 8_000
    assert len(base64.b64decode(core_page.evaluate(WAV, [[], 0]))) == 44
