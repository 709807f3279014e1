"""Words in the reader's tongue: catalogues whole, places kept, and which tongue a request gets."""

import re
from datetime import datetime, timedelta

import pytest
from django.utils import translation

from shop import tongues
from tests import phrases
from timers.core import tongue, words

PLACE = re.compile(r"\{\w+\}")


@pytest.fixture(scope="module")
def said():
    return phrases.everything()


def test_twelve_hours_are_those_of_the_c_library():
    for minute in range(1440):
        at = datetime(2025, 3, 4) + timedelta(minutes=minute)
        zone = lambda _: 0  # noqa: E731
        zone.hours = "12"
        assert words.wall(minute, zone) == at.strftime("%I:%M %p").lstrip("0").lower()


def test_a_phrase_puts_its_values_where_the_tongue_wants_them():
    tongue.speak({"{what} from {time}": "ab {time}: {what}"}.get, lambda one, many, n: many)
    try:
        assert tongue.t("{what} from {time}", what="{time}", time="14:20") == "ab 14:20: {time}"
    finally:
        tongue.speak(translation.gettext, translation.ngettext)


def test_a_hint_for_translators_is_never_shown():
    assert tongue.t("Open [[of a film]]") == "Open"
    assert tongue.tn("{n} tap waits [[at the server]]", "{n} taps wait [[at the server]]", 2) == "2 taps wait"


def test_scripts_are_read_with_their_quotes_and_counts():
    script = """t("a \\"b\\""); const x = tn('{n} tap', '{n} taps', n); later("Mon"); set("no"); at("no"); o.t("no")"""
    assert tongues.said_by(script) == [('a "b"', None), ("{n} tap", "{n} taps"), ("Mon", None)]
