"""What every answer carries and what none does: headers, methods, cookies, ways to other hosts."""

import re

import pytest
from django.test import Client

from shop.live import sse
from shop.security import access
from tests.shop.security.test_access import HTMX, OWN, begun
from tests.support.addresses import ADDRESSES, addresses

EVERYWHERE = [*(path for _, path in addresses()), "/nowhere"]
POSTED = [path for name, path in addresses() if ADDRESSES[name][0] == ("POST",)]
OF_A_SHOP = ["/moved", "/thermometers", "/displays", "/push/key", "/phones", "/floor.json", "/alarms.ics", "/shelf.csv"]
OF_A_SHOP += ["/shelf.json", "/mix.json", "/grits.json"]
YEAR_S = 31_536_000
TEXT = re.compile(r"text/")
CARRIED = {
    "X-Content-Type-Options": "nosniff",
    "Referrer-Policy": "same-origin",
    "X-Frame-Options": "DENY",
    "Cross-Origin-Opener-Policy": "same-origin",
}

pytestmark = pytest.mark.django_db


@pytest.fixture
def visits():
    """Ask every address, as a stranger and as a phone of a shop: (what was asked, answer)."""
    askers = {"a stranger": Client(raise_request_exception=False), "a phone": begun()}

    def asked(*methods: str, paths=EVERYWHERE, said: str = "", **more):
        for who, client in askers.items():
            for path in paths:
                for method in methods:
                    answer = client.generic(method, path + said, **{"headers": OWN, **more})
                    yield f"{who}: {method} {path}{said}", answer

    return asked


def test_every_answer_forbids_guessing_its_kind_framing_it_and_telling_others_where_one_was(visits):
    for asked, answer in visits("GET", "POST"):
        assert {name: answer.headers.get(name) for name in CARRIED} == CARRIED, asked
        assert "frame-ancestors 'none'" in answer.headers["Content-Security-Policy"], asked


def test_a_static_file_is_taken_for_what_it_says_it_is_and_read_by_no_page_of_another_site(settings):
    settings.WHITENOISE_USE_FINDERS = settings.WHITENOISE_AUTOREFRESH = True
    for name, kind in (("js/theme.js", "text/javascript"), ("icons/icon-192.png", "image/png")):
        answer = Client().get(f"/static/{name}")
        assert answer.status_code == 200
        assert answer.headers["Content-Type"].startswith(kind)
        assert answer.headers["X-Content-Type-Options"] == "nosniff"
        assert "Access-Control-Allow-Origin" not in answer.headers
        assert answer.headers["Cross-Origin-Resource-Policy"] == "same-origin"


def test_a_stream_carries_the_policy_forbids_guessing_its_kind_and_is_kept_nowhere():
    carried = {name.decode(): value.decode() for name, value in sse.HEADERS}
    assert carried["x-content-type-options"] == "nosniff"
    assert carried["cache-control"] == "no-store"
    assert "frame-ancestors 'none'" in carried["content-security-policy"]


def test_no_page_of_another_site_is_let_read_an_answer(visits):
    for asked, answer in visits("GET", "POST", "OPTIONS", headers={**HTMX, "Origin": "https://other.example"}):
        assert [name for name in answer.headers if name.lower().startswith("access-control-")] == [], asked


def test_text_names_its_charset(visits):
    for asked, answer in visits("GET", "POST"):
        kind = answer.headers["Content-Type"]
        assert "charset=utf-8" in kind or not TEXT.match(kind), asked


def test_what_is_asked_by_https_binds_the_browser_to_https_for_a_year(settings):
    settings.SECURE_HSTS_SECONDS = YEAR_S
    client = Client(raise_request_exception=False)
    for path in EVERYWHERE:
        assert client.get(path, secure=True).headers["Strict-Transport-Security"].startswith(f"max-age={YEAR_S}"), path


def test_what_a_phone_reads_of_its_shop_is_kept_in_no_cache(visits):
    told = [*visits("GET", paths=OF_A_SHOP), *visits("POST", paths=POSTED)]
    for asked, answer in told:
        assert {"no-store", "private"} <= set(answer.headers["Cache-Control"].split(", ")), asked


def test_what_changes_something_is_done_by_a_post_only(visits):
    for asked, answer in visits("GET", "HEAD", "PUT", "DELETE", paths=POSTED):
        assert answer.status_code == 405, asked


def test_no_address_answers_trace(visits):
    for asked, answer in visits("TRACE"):
        assert answer.status_code in (404, 405), asked


def test_the_only_cookie_that_is_set_is_the_phones_own(visits):
    for asked, answer in visits("GET", "POST"):
        assert set(answer.cookies) <= {access.COOKIE}, asked


@pytest.mark.parametrize("said", ["?next=https://other.example/", "?tongue=//other.example"])
def test_no_answer_sends_the_browser_elsewhere(said, visits):
    for asked, answer in visits("GET", said=said):
        assert "Location" not in answer.headers, asked
        assert not 300 <= answer.status_code < 400, asked


def test_a_request_for_another_host_is_refused_and_not_sent_there(settings):
    settings.SECURE_SSL_REDIRECT = True
    answer = Client(raise_request_exception=False).get("/", headers={"Host": "other.example"})
    assert answer.status_code == 400
    assert "Location" not in answer.headers
