"""Rooms that only the server knows: what stands in their markup, for whom, in which tongue; JSON for an older page."""

import re

import numpy as np
import pytest
import zxingcpp
from django.test import Client

from shop.base import partials
from shop.models import Invite, Thermometer
from tests.browser.handed import larger
from tests.shop.security.test_access import HTMX, begun, post, tap
from tests.support.joins import asked, coded, joined, phone_of, walled

pytestmark = pytest.mark.django_db
ROOMS = ("/phones", "/thermometers", "/displays")
ODD = '<b>"Bench"</b>'


def markup(client: Client, path: str, fields: dict | None = None, **headers: str) -> str:
    ask = client.get if fields is None else client.post
    answer = ask(path, fields or {}, headers={**HTMX, **headers})
    assert (answer.status_code, answer.headers["Content-Type"]) == (200, "text/html; charset=utf-8"), answer.content
    assert "no-store" in answer.headers["Cache-Control"]
    assert "HX-Request" in answer.headers["Vary"]
    return answer.content.decode()


@pytest.mark.parametrize("path", ROOMS)
def test_only_a_keepers_room_has_buttons_that_change_something(path):
    keeper = begun()
    assert "hx-post" in markup(keeper, path)
    for other in (joined(keeper), walled(keeper)):
        assert "hx-post" not in markup(other, path)


@pytest.mark.parametrize("path", ROOMS)
def test_a_page_of_an_older_version_gets_json(path):
    assert isinstance(begun().get(path).json(), dict)


def test_a_name_is_a_text_in_every_room():
    keeper = begun()
    joined(keeper, name=ODD)
    whom = str(phone_of(keeper).shop.phones.get(name=ODD).pk)
    for path in ("/thermometers/make", "/displays/make"):
        assert ODD not in markup(keeper, path, {"name": ODD})
    for asking in ("", f"?open={whom}", f"?open={whom}&sure=yes"):
        room = markup(keeper, f"/phones{asking}")
        assert ODD not in room
        assert "&lt;b&gt;" in room


@pytest.mark.parametrize("whom", ["another's", '"><script>', ""])
def test_a_row_that_is_none_is_not_open(whom):
    keeper, other = begun(), begun()
    whom = str(phone_of(other).pk) if whom == "another's" else whom
    text = keeper.get("/phones", {"open": whom}, headers=HTMX).content.decode()
    assert """hx-vals='{"open": "", "sure": ""}'""" in text
    assert "<script" not in text


def test_a_room_is_in_the_tongue_of_its_phone():
    keeper = begun()
    assert "Noch keins." in markup(keeper, "/thermometers", **{"Accept-Language": "de"})
    keeper.cookies["sandtime_tongue"] = "es"
    assert "Aún ninguno." in markup(keeper, "/thermometers", **{"Accept-Language": "de"})


def test_what_is_refused_is_said_in_plain_words_and_changes_nothing():
    keeper = begun()
    for path, fields in (("/thermometers/make", {"name": " "}), ("/phones/role", {"phone": "x", "role": "wall"})):
        answer = keeper.post(path, fields, headers=HTMX)
        assert (answer.status_code, answer.headers["Content-Type"]) == (400, "text/plain; charset=utf-8")
        assert answer.content.decode().endswith(("Nothing was saved.", "Nothing was changed."))
    assert not Thermometer.objects.exists()


def test_a_phone_is_called_what_an_act_called_it():
    keeper = begun()
    named = {"phone": str(phone_of(keeper).pk), "name": "Booth", "person": "Ana"}
    assert post(keeper, [tap("shop", "phone_named", **named)]).status_code == 200
    assert "Booth, Ana" in markup(keeper, "/phones")


# --- a code that waits ---


def invited(keeper: Client) -> tuple[str, int]:
    return markup(keeper, "/phones/code", {"role": "painter"}), Invite.objects.latest("pk").pk


def test_a_code_is_waited_for_until_a_phone_came_in_by_it():
    keeper = begun()
    box, number = invited(keeper)
    assert f"/phones/came?invite={number}" in box
    assert keeper.get("/phones/came", {"invite": number}, headers=HTMX).status_code == 204
    typed = re.search(r'id="phones-code">([^<]+)<', box)[1]
    assert asked(Client(), "join", typed=typed, name="Bench").status_code == 200
    answer = keeper.get("/phones/came", {"invite": number}, headers=HTMX)
    assert "“Bench” is in, as painter." in answer.content.decode()
    assert answer.headers["HX-Trigger"] == "sandtime:came"


@pytest.mark.parametrize("number", ["another's", "", "x", "9" * 40])
def test_a_code_of_another_shop_or_none_is_over_and_says_no_more(number):
    other = begun()
    secret = coded(other)["secret"]
    assert asked(Client(), "join", secret=secret, name="Stranger").status_code == 200
    number = str(Invite.objects.get().pk) if number == "another's" else number
    answer = begun().get("/phones/came", {"invite": number}, headers=HTMX).content.decode()
    assert "The code is over" in answer
    assert "Stranger" not in answer


# --- joining ---


def test_a_shop_is_shown_before_a_phone_joins_it_and_what_that_phone_leaves():
    keeper, other = begun(), begun()
    assert post(keeper, [tap("shop", "shop_named", name=ODD)]).status_code == 200
    secret = coded(keeper)["secret"]
    box = markup(Client(), "/join/look", {"secret": secret})
    assert ODD not in box
    assert "takes this phone in as a painter&#x27;s phone." in box
    assert 'name="leaves" value=""' in box
    assert post(other, [tap()]).status_code == 200
    assert "is the last keeper of “My shop”" in markup(other, "/join/look", {"secret": secret})
    assert 'id="join-in"' not in markup(other, "/join/look", {"secret": secret})
    asked(other, "phones/phrase")
    box = markup(other, "/join/look", {"secret": secret})
    assert f'name="leaves" value="{phone_of(other).shop_id}"' in box
    assert "Leave “My shop” and join" in box


# --- the picture of the link ---


@pytest.mark.parametrize(
    ("page", "address"),
    [
        ("https://testserver/#phones", "https://testserver"),  # behind a proxy that took https off
        ("https://elsewhere.example/", "http://testserver"),
        ("javascript://testserver/", "http://testserver"),
        ("", "http://testserver"),
    ],
)
def test_a_link_leads_to_where_the_page_stands(page, address):
    box = markup(begun(), "/phones/code", {"role": "wall"}, **{"HX-Current-URL": page})
    assert f'id="phones-address">{address}<' in box


@pytest.mark.parametrize("text", ["https://shop.example/#join=" + "x" * 43, "A" * 7])
def test_a_picture_is_read_by_a_reader_from_elsewhere(text):
    drawn = partials.picture(text)
    least, _, side, _ = map(int, drawn["box"].split())
    grey = np.full((side, side), 255, dtype=np.uint8)
    for x, y, run in re.findall(r"M(\d+) (\d+)h(\d+)v1h-\d+z", drawn["path"]):
        grey[int(y) - least, int(x) - least : int(x) - least + int(run)] = 0
    (found,) = zxingcpp.read_barcodes(larger(grey), formats=zxingcpp.BarcodeFormat.QRCode)
    assert found.text == text
