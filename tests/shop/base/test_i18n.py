"""Words in the reader's tongue: catalogues whole, places kept, and which tongue a request gets."""

import re
from datetime import datetime, timedelta

import pytest
from django.utils import translation

from shop.base import i18n
from tests import phrases
from tests.timers.core.test_vectors import zone_of
from timers.core.base import translate, words
from timers.core.base.check import Refused, number
from timers.core.files.table import from_csv, to_csv
from timers.defaults import initial_acts, products, routes
from timers.models import ThingState
from timers.shops import sign_up

PLACE = re.compile(r"\{\w+\}")


@pytest.fixture(scope="module")
def said():
    return phrases.everything()


@pytest.fixture
def another():
    """A tongue in which every phrase has a tilde before it and figures have a comma."""
    translate.speak(lambda phrase: "1,5" if phrase == "1.5" else f"~{phrase}", lambda one, many, n: f"~{many}")
    yield
    translate.speak(translation.gettext, translation.ngettext)


def test_twelve_hours_are_those_of_the_c_library():
    for minute in range(1440):
        at = datetime(2025, 3, 4) + timedelta(minutes=minute)
        assert words.wall(minute, zone_of({"east": 0, "hours": "12"})) == at.strftime("%I:%M %p").lstrip("0").lower()


def test_a_phrase_puts_its_values_where_the_tongue_wants_them():
    translate.speak({"{what} from {time}": "ab {time}: {what}"}.get, lambda one, many, n: many)
    try:
        assert translate.t("{what} from {time}", what="{time}", time="14:20") == "ab 14:20: {time}"
    finally:
        translate.speak(translation.gettext, translation.ngettext)


def test_there_is_one_way_to_say_a_phrase_on_the_server():
    assert i18n.t is translate.t


def test_a_hint_for_translators_is_never_shown():
    assert translate.t("Open [[of a film]]") == "Open"
    assert translate.tn("{n} tap waits [[at the server]]", "{n} taps wait [[at the server]]", 2) == "2 taps wait"


def test_scripts_are_read_with_their_quotes_and_counts():
    script = """t("a \\"b\\""); const x = tn('{n} tap', '{n} taps', n); later("Mon"); set("no"); at("no"); o.t("no")"""
    assert i18n.phrases_in(script) == [('a "b"', None), ("{n} tap", "{n} taps"), ("Mon", None)]


@pytest.mark.django_db
def test_a_shop_begins_in_the_tongue_of_its_first_phone(another):
    initial_acts._defaults.cache_clear()
    sign_up.furnished_shop("My shop", "Asia/Tokyo", 1_700_000_000_000)
    initial_acts._defaults.cache_clear()
    kept = {row.state["doc"]["id"]: row.state["doc"] for row in ThingState.objects.all()}
    for plain in [*products.PRODUCTS, *routes.ROUTES]:
        doc = kept[plain["id"]]
        named = [doc["name"], *(one["name"] for one in doc.get("variants", []))]
        named += [step["words"] for step in doc.get("steps", [])]
        assert all(name.startswith("~") and "[[" not in name for name in named)
        assert [one["id"] for one in doc.get("steps", [])] == [one["id"] for one in plain.get("steps", [])]
        assert {key: doc[key] for key in doc.keys() - {"name", "variants", "steps", "notes"}} == {
            key: plain[key] for key in plain.keys() - {"name", "variants", "steps", "notes"}
        }


def test_a_shelf_written_in_one_tongue_is_read_in_every_other(another):
    told = [{**product, "lowest_dc": 145} for product in products.PRODUCTS]
    text = to_csv(told)
    assert "~" not in text
    assert ",14.5," in text
    assert [row["doc"] for row in from_csv(text)["rows"]] == told


def test_a_refusal_names_its_field_and_its_figures_in_the_reader_s_tongue(another):
    with pytest.raises(Refused, match=r"^~~The fan must be from 1,5 to 2,5 ~turns \(you gave 0,5\)\. "):
        number("The fan [[of a gun]]", 5, 15, 25, 10, "turns [[of a knob]]")
