"""Where only https is served: plain http is refused in words, so that no token goes in the clear unseen."""

import asyncio
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.test import Client

from shop.live import sse
from shop.security import audit_log, errors, https_only
from tests.shop.security.test_access import HTMX, OWN, begun
from tests.support.addresses import ADDRESSES, addresses
from timers.models import Act

BEARER = {**OWN, "Authorization": "Bearer a-token-of-a-gauge"}
ASKED_BESIDE = {"healthz", "readyz"}
ROADS = [(name, path) for name, path in addresses() if name not in {"floor", *ASKED_BESIDE}]

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def https(settings):
    settings.SECURE_SSL_REDIRECT = True


@pytest.mark.parametrize(("name", "path"), ROADS)
def test_what_programs_ask_is_refused_in_words_and_not_sent_on(name, path):
    for method in ADDRESSES[name][0]:
        answer = Client().generic(method, path, headers=BEARER)
        assert (answer.status_code, answer.content.decode()) == (403, https_only.WORDS)
        assert "Location" not in answer.headers
        assert answer.headers["Content-Type"] == "text/plain; charset=utf-8"
        assert answer.headers["Cache-Control"] == "no-store"


def test_a_page_is_sent_to_https_but_not_with_a_token():
    answer = Client().get("/?tongue=de")
    assert (answer.status_code, answer.headers["Location"]) == (301, "https://testserver/?tongue=de")
    assert Client().get("/", headers=BEARER).status_code == 403
    assert Client().post("/").status_code == 403


def test_a_tap_by_plain_http_is_not_kept_and_by_https_it_is(settings):
    settings.SECURE_SSL_REDIRECT = False
    phone = begun()
    settings.SECURE_SSL_REDIRECT = True
    said = {"acts": "[]", "cursor": "0"}
    before = Act.objects.count()
    assert phone.post("/sync", said, headers=HTMX).status_code == 403
    assert Act.objects.count() == before
    assert phone.post("/sync", said, headers=HTMX, secure=True).status_code == 200


def test_a_host_sees_which_address_told_a_token_in_the_clear(monkeypatch):
    said = []
    audit_log.reset()
    monkeypatch.setattr(audit_log.logger, "log", lambda level, words, **_: said.append(words))
    Client().post("/readings", headers=BEARER)
    Client().post("/readings", headers=OWN)
    assert said == ["refused plain-http from=127.0.0.1"]


@pytest.mark.parametrize(
    ("scheme", "proxy", "said", "status"),
    [
        ("http", False, None, 403),
        ("http", False, "https", 403),  # no proxy is trusted
        ("http", True, "https", 401),
        ("https", False, None, 401),
        ("https", True, "https, http", 403),  # the last word is our own proxy's
    ],
)
def test_a_stream_is_refused_too(scheme, proxy, said, status, settings):
    settings.BEHIND_PROXY = proxy
    sent = []

    class Nobody:
        count, addresses = 0, {"192.0.2.7": 0}

        async def in_thread(self, *_):
            raise errors.UnknownPhone

    async def send(message):
        sent.append(message)

    headers = [(b"x-forwarded-proto", said.encode()), (b"x-forwarded-for", b"192.0.2.7")] if said else []
    scope = {"method": "GET", "scheme": scheme, "client": ("192.0.2.7", 1), "headers": headers}
    with ThreadPoolExecutor(1) as aside:  # this thread's loop may be at work for the browser
        aside.submit(asyncio.run, sse.Live(Nobody())(scope, None, send)).result()
    assert sent[0]["status"] == status
    assert sent[1]["body"].decode() == sse.WORDS[status]
