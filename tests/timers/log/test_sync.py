"""The one road in and out: what a phone posts, in HTML and in JSON, and what comes back."""

import json
import os
import re
import time

import pytest
from django.test import Client
from freezegun import freeze_time

from shop.models import Shop
from timers.core.acts.envelope import new_id
from timers.core.base.units import HOUR_MS, MINUTE_MS
from timers.core.fold.shelf import laid_sheet
from timers.defaults import initial_acts
from timers.defaults.products import PRODUCTS
from timers.log import reader, sync
from timers.models import Act

pytestmark = pytest.mark.django_db
FURNITURE = initial_acts.count()  # acts that every new shop starts with: its products and routes
STEPS = [
    {"id": "1", "do": "fill", "words": "Glazing putty", "cls": "putty"},
    {"id": "2", "do": "sand", "words": "Block P180", "grit": 180},
]
NAMES = {
    "two hundred letters": "W" * 200,
    "emoji": "🚙 dent 👩🏽‍🔧",
    "written from the right": "باب أمامي \u202eroolf",
    "markup": "<script>alert(1)</script><b>Door</b> & \"sill\" 'left' <!--",
    "the end of a script": "</script></section>",
    "a name of every object": "__proto__",
    "template signs": "{{ shop.id }}{% now %}${1}",
}
NO_JSON = {
    **{"an open bracket": "[", "a word": "tap", "two lists": "[][]", "no text at all": "\x00", "a box": '{"a": 1}'},
    **{"a number": "5", "nothing": "null", "a text": '"[]"', "not a number": "[NaN]", "endless": "[-Infinity]"},
    **{"a hole without a floor": "[" * 200_000, "boxes in boxes": '[{"a":' * 100_000, "digits": f"[{'9' * 5_000}]"},
}
ODD_ACTS = {
    **{"a number": 5, "a yes": True, "an empty box": {}, "a list": [], "a text": "air_read"},
    "a half sign": {"kind": "lamp_lit", "note": "\ud800"},
    "a half sign as a key": {"kind": "lamp_lit", "\udfff": 1},
    "a zero sign": {"kind": "panel_named", "name": "Do\x00or"},
    "a number with a hundred digits": {"temp_dc": 10**100},
    "a broken number": {"kind": "lamp_lit", "watt": 1e300},
    "nine hundred boxes": {"kind": "lamp_lit", "deep": json.loads("[" * 900 + "]" * 900)},
    "more words than fit": {"kind": "lamp_lit", "note": "x" * 32_000},
    "sixty degrees of frost": {"temp_dc": -600},
    "the heat of an oven": {"temp_dc": 4000},
    "the year 1970": {"at": 0},
    "the year 2100": {"at": 4_102_444_800_000},
    "a moment in words": {"at": "now"},
    "another kind of number": {"id": "7d444840-9dc0-11d1-b245-5ffdce74fad2"},
    "a number in capitals": {"id": "0199D7A0-0000-7000-8000-00000000000A"},
    "a thing that is none": {"on": "panel:1"},
    "another thing's act": {"on": "panel:0199d7a0-0000-7000-8000-000000000001"},
}


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def tap(on: str = "air", kind: str = "air_read", ago_ms: int = 0, **fields) -> dict:
    at = now_ms() - ago_ms
    fields = fields or {"temp_dc": 200}
    return {"id": new_id(at, os.urandom(10)), "at": at, "on": on, "kind": kind, **fields}


def panel(name: str = "Left front door", ago_ms: int = 0) -> dict:
    on = f"panel:{new_id(now_ms(), os.urandom(10))}"
    return tap(on, "panel_added", ago_ms, name=name, steps=STEPS)


def putty(on: str, ago_ms: int) -> dict:
    film = new_id(now_ms(), os.urandom(10))
    sheet = laid_sheet(PRODUCTS[1], "2")
    return tap(on, "film_laid", ago_ms, film=film, step="1", product="p", coat=1, sheet=sheet)


@pytest.fixture
def page() -> Client:
    """A phone of a new shop, as its cookie makes it."""
    client = Client(raise_request_exception=False)
    assert client.post("/begin", headers={"X-Sandtime": "1"}).status_code == 200
    return client


def html(page: Client, acts: object, cursor: object = FURNITURE):
    text = acts if isinstance(acts, str) else json.dumps(acts)
    return page.post("/sync", {"acts": text, "cursor": cursor}, headers={"HX-Request": "true"})


def as_json(page: Client, acts: object, cursor: object = FURNITURE):
    body = acts if isinstance(acts, str | bytes) else json.dumps({"acts": acts, "cursor": cursor})
    return page.post("/sync", body, content_type="application/json", headers={"X-Sandtime": "1"})


def verdicts(answer) -> list[dict]:
    assert answer.status_code == 200, answer.content
    if answer["Content-Type"] == "application/json":
        return answer.json()["verdicts"]
    return json.loads(re.search(r'id="verdicts" type="application/json">(.*?)</script>', answer.content.decode())[1])


FORMS = pytest.mark.parametrize("post", [html, as_json])


@FORMS
def test_every_act_gets_its_verdict_in_the_order_given_and_a_refused_one_stops_none(page, post):
    good, bad, other = tap(), tap(temp_dc=4000), tap()
    answers = verdicts(post(page, [good, bad, good, other]))
    assert [one["id"] for one in answers] == [good["id"], bad["id"], good["id"], other["id"]]
    assert [one["verdict"] for one in answers] == ["kept", "refused", "already kept", "kept"]
    assert [one.get("seq") for one in answers] == [FURNITURE + 1, None, FURNITURE + 1, FURNITURE + 2]
    assert answers[1]["why"] == "The temperature must be from -40 to 60 °C (you gave 400). Nothing was saved."


@FORMS
def test_sending_again_changes_nothing(page, post):
    acts = [panel(), tap()]
    first, second = (verdicts(post(page, acts)) for _ in range(2))
    assert [one["seq"] for one in first] == [one["seq"] for one in second]
    assert {one["verdict"] for one in second} == {"already kept"}
    assert Act.objects.count() == FURNITURE + 2


@FORMS
def test_another_tap_under_a_number_that_is_taken_is_refused_and_the_first_stays(page, post):
    act = tap(temp_dc=150)
    post(page, [act])
    other, put_right = verdicts(post(page, [{**act, "temp_dc": 151}, {**act, "at": act["at"] - 5}]))
    assert (other["verdict"], other["why"]) == ("refused", "The server holds another tap under this number.")
    assert put_right["verdict"] == "already kept"  # its moment alone was put right since it was posted: the same tap
    assert list(Act.objects.filter(kind="air_read").values_list("body", flat=True)) == [act]


@FORMS
@pytest.mark.parametrize("what", ODD_ACTS)
def test_an_odd_act_is_refused_in_words_between_two_that_are_kept(page, post, what):
    odd = {**tap(), **ODD_ACTS[what]} if isinstance(ODD_ACTS[what], dict) and ODD_ACTS[what] else ODD_ACTS[what]
    answers = verdicts(post(page, [tap(), odd, tap()]))
    assert [one["verdict"] for one in answers] == ["kept", "refused", "kept"]
    assert re.fullmatch(r"[A-Z].{20,}\.", answers[1]["why"])
    assert Act.objects.count() == FURNITURE + 2


@FORMS
def test_a_nothing_among_the_acts_is_refused_in_words(page, post):
    answers = verdicts(post(page, [tap(), None, tap()]))
    assert [one["verdict"] for one in answers] == ["kept", "refused", "kept"]


@FORMS
def test_two_hundred_taps_go_in_one_post_and_one_more_is_too_much(page, post):
    acts = [tap() for _ in range(sync.MOST_ACTS + 1)]
    answer = post(page, acts)
    assert (answer.status_code, answer.content.decode()) == (413, "At most 200 taps at once.")
    assert not Act.objects.exists()
    assert len(verdicts(post(page, acts[:-1]))) == 200


@pytest.mark.parametrize("what", NO_JSON)
def test_acts_that_are_no_list_are_refused_in_words_and_nothing_is_kept(page, what):
    body = f'{{"cursor": 0, "acts": {NO_JSON[what]}}}'
    for answer in (html(page, NO_JSON[what]), as_json(page, body)):
        assert answer.status_code == 400
        assert re.fullmatch(r"The (acts are|body is) not .*\. Nothing was saved\.", answer.content.decode())
    assert not Act.objects.exists()


@pytest.mark.parametrize("body", [b"[]", b"5", b"\xff\xfe\x00", b"{'acts': []}", b'{"acts": 5}'])
def test_a_body_that_is_no_box_with_acts_is_refused_in_words(page, body):
    answer = page.generic("POST", "/sync", body, "application/json", headers={"X-Sandtime": "1"})
    assert answer.status_code == 400
    assert answer.content.decode().endswith("Nothing was saved.")


def test_a_body_of_more_than_four_megabytes_is_turned_away(page):
    for post in (html, as_json):
        assert post(page, [tap(kind="lamp_lit", note="x" * 5_000_000)]).status_code in (400, 413)
    assert not Act.objects.exists()


@pytest.mark.parametrize("cursor", [None, [], "", "\ud800", "1e3", "9" * 5_000, False, 0.9])
def test_a_cursor_that_is_no_number_is_refused_in_words_and_nothing_is_kept(page, cursor):
    answer = as_json(page, [tap()], cursor)
    assert answer.status_code == 400
    assert answer.content.decode() == "The cursor is not a number. Nothing was saved."
    assert not Act.objects.exists()


@pytest.mark.parametrize("cursor", [-5, -(10**30), 0, "0"])
def test_a_cursor_below_the_first_act_brings_everything(page, cursor):
    assert len(as_json(page, [], cursor).json()["fragments"]) == FURNITURE


@pytest.mark.parametrize("cursor", [FURNITURE + 1, 10**30])
def test_a_cursor_ahead_of_the_shop_brings_everything(page, cursor):
    """As after a shop was put back from a copy: its numbers begin again below what the phone has seen."""
    answer = as_json(page, [], cursor).json()
    assert (len(answer["fragments"]), answer["cursor"]) == (FURNITURE, FURNITURE)


@pytest.mark.parametrize("what", NAMES)
def test_any_name_comes_back_whole_and_in_html_as_text_only(page, what):
    act = panel(NAMES[what])
    drawn = html(page, [{**act, "job": NAMES[what]}]).content.decode()
    assert "<script>alert" not in drawn
    assert drawn.count("</script>") == drawn.count("<script") == 2
    (fragment,) = as_json(page, []).json()["fragments"]
    assert fragment["state"]["name"] == fragment["acts"][0]["name"] == NAMES[what]


def test_an_answer_for_the_page_holds_of_each_thing_what_the_phone_keeps_and_no_markup_of_it(page):
    doors = [panel(ago_ms=HOUR_MS), panel("Hood & <grille>")]
    drawn = html(page, [*doors, putty(doors[0]["on"], 5 * MINUTE_MS)]).content.decode()
    sections = re.findall(r'<section data-fragment="(.*?)" data-seq="(\d+)">(.*?)</section>', drawn, re.DOTALL)
    scripts = {
        on: re.fullmatch(r'\s*<script type="application/json">(.*)</script>\s*', inner) for on, _, inner in sections
    }
    fragments = {one["on"]: one for one in as_json(page, []).json()["fragments"]}
    assert set(scripts) == set(fragments) == {door["on"] for door in doors}
    for on, seq, _ in sections:
        assert {"on": on, "seq": int(seq), **json.loads(scripts[on][1])} == fragments[on]


def test_a_cold_morning_moves_the_clock_of_every_card(page):
    with freeze_time("2026-03-05 10:00:00"):
        doors = [panel(f"Door {n}", HOUR_MS) for n in range(3)]
        html(page, [*doors, *(putty(door["on"], 5 * MINUTE_MS) for door in doors)])
        html(page, [tap(ago_ms=10 * MINUTE_MS, temp_dc=100)])
        cards = reader.floor(Shop.objects.get(), now_ms())["cards"]
    assert [card["face"]["say"] for card in cards] == ["Sand from 10:35"] * 3


def test_a_film_asked_about_again_at_the_end_of_the_calendar_stops_no_phone(page):
    door = panel(ago_ms=40 * HOUR_MS)
    film = putty(door["on"], 39 * HOUR_MS)
    asked = tap(door["on"], "found_not_ready", films=[film["film"]], gate="sand", ask_at=253_402_300_799_999)
    assert [verdict["verdict"] for verdict in verdicts(html(page, [door, film, asked]))] == ["kept", "kept", "refused"]
    assert reader.floor(Shop.objects.get(), now_ms())["cards"]


def test_the_road_is_for_posts_only(page):
    assert page.get("/sync").status_code == 405
