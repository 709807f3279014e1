"""One message to one phone: which push services are asked, what is sent, and what each of their answers comes to."""

import time
from email.utils import formatdate

import pytest

from shop.push import webpush, webpush_crypto

NOW_MS = 1_764_073_800_000
SAID = {
    "title": "Left door",
    "body": "Coat 2 can go on. Until 16:05",
    "tag": "panel:1 opens flash 1",
    "at": "#panel=panel:1",
}


def address(push_service, path: str = "/one") -> webpush.Address:
    return webpush.Address(home="https://clock.example.org/", **push_service.keys(path))


def sent(push_service, path: str = "/one", tries: int = 1) -> webpush.Answer:
    return webpush.send(address(push_service, path), SAID, 900, NOW_MS, tries)


# --- where to ---


@pytest.mark.parametrize(
    "endpoint",
    [
        "https://fcm.googleapis.com/fcm/send/abc:def",
        "https://updates.push.services.mozilla.com/wpush/v2/gAAAA",
        "https://web.push.apple.com/QAbc-_",
        "https://wns2-par02p.notify.windows.com/w/?token=BQYA%3d",
        "https://fcm.googleapis.com:443/fcm/send/abc",
        "http://127.0.0.1:1/for-tests",
    ],
)
def test_the_push_services_of_todays_browsers_are_known(settings, endpoint):
    settings.PUSH_HOSTS = ("127.0.0.1:1",)
    assert webpush.is_known(endpoint)


@pytest.mark.parametrize(
    "endpoint",
    [
        "",
        "fcm.googleapis.com/fcm/send/abc",
        "http://fcm.googleapis.com/fcm/send/abc",
        "ftp://fcm.googleapis.com/abc",
        "file:///etc/passwd",
        "https://fcm.googleapis.com:8443/abc",
        "https://fcm.googleapis.com:99999/abc",
        "https://fcm.googleapis.com.other.example/abc",
        "https://xfcm.googleapis.com/abc",
        "https://push.apple.com.other.example/abc",
        "https://xpush.apple.com/abc",
        "https://other.example/https://fcm.googleapis.com/",
        "https://someone@fcm.googleapis.com/abc",
        "https://fcm.googleapis.com@other.example/abc",
        "https://fcm.googleapis.com\\@other.example/abc",
        "https://other.example\\.push.apple.com/abc",
        "https://other.example/.push.apple.com",
        "https://other.example#.push.apple.com",
        "https://other.example?.push.apple.com",
        "https://127.0.0.1/abc",
        "http://127.0.0.1:2/abc",
        "https://[::1]/abc",
        "https://[fcm.googleapis.com/abc",
        "https://fcm.googleapis.com/a b",
        "https://fcm.googleapis.com/\nHost: other.example",
        "https://fcm.googleapis.com/" + "x" * 1000,
        "https://ｆcm.googleapis.com/abc",
    ],
)
def test_no_other_address_is_ever_asked(settings, push_service, endpoint):
    settings.PUSH_HOSTS = ("127.0.0.1:1",)
    assert not webpush.is_known(endpoint)
    to = webpush.Address(endpoint, *list(push_service.keys().values())[1:])
    assert webpush.send(to, SAID, 60, NOW_MS).outcome == webpush.REFUSED
    assert push_service.came == []


# --- what is sent ---


def test_a_message_is_visible_urgent_and_readable_by_the_phone_alone(push_service):
    assert sent(push_service) == webpush.Answer(webpush.SENT)
    ((path, headers, body),) = push_service.came
    assert path == "/one"
    wanted = {"TTL": "900", "Urgency": "high", "Content-Encoding": "aes128gcm"}
    assert {name: {key.lower(): value for key, value in headers.items()}[name.lower()] for name in wanted} == wanted
    assert headers["Authorization"].endswith(f", k={webpush_crypto.public_key()}")
    assert b"Left door" not in body
    assert push_service.heard() == [
        {
            "web_push": 8030,
            "notification": {
                "title": "Left door",
                "body": "Coat 2 can go on. Until 16:05",
                "navigate": "https://clock.example.org/#panel=panel:1",
                "tag": "panel:1 opens flash 1",
                "lang": "en",
                "silent": False,
            },
        }
    ]


def test_the_topic_is_the_same_for_the_same_ring_and_of_the_form_the_standard_wants():
    assert webpush.topic("one") == webpush.topic("one") != webpush.topic("two")
    assert len(webpush.topic("one")) == 32
    assert webpush.topic("one").isalnum()


@pytest.mark.parametrize(
    ("subject", "home", "said"),
    [
        ("mailto:shop@example.org", "https://clock.example.org/", "mailto:shop@example.org"),
        ("", "https://clock.example.org/", "https://clock.example.org/"),
        ("", "http://localhost:8000/", ""),
    ],
)
def test_a_push_service_may_ask_the_host_or_else_the_address_of_the_shop(push_service, settings, subject, home, said):
    settings.PUSH_SUBJECT = subject
    webpush.send(webpush.Address(home=home, **push_service.keys()), SAID, 60, NOW_MS)
    claims = webpush_crypto.b64url_decode(push_service.came[0][1]["Authorization"].split(".")[1])
    assert (f'"sub":"{said}"' in claims.decode()) == bool(said)


# --- answers ---


@pytest.mark.parametrize("status", [200, 201, 202])
def test_a_message_that_was_taken_is_told(push_service, status):
    push_service.answers["/one"] = [(status, {})]
    assert sent(push_service) == webpush.Answer(webpush.SENT)


@pytest.mark.parametrize("status", [404, 410])
def test_a_phone_that_the_push_service_does_not_know_is_gone(push_service, status):
    push_service.answers["/one"] = [(status, {})]
    assert sent(push_service).outcome == webpush.GONE


def test_a_message_that_is_too_long_is_sent_once_more_and_short(push_service):
    push_service.answers["/one"] = [(413, {}), (201, {})]
    assert sent(push_service) == webpush.Answer(webpush.SENT)
    assert [one["notification"]["body"] for one in push_service.heard()] == [SAID["body"], ""]
    push_service.answers["/one"] = [(413, {})]
    assert sent(push_service).outcome == webpush.REFUSED
    assert len(push_service.came) == 4


@pytest.mark.parametrize(
    ("headers", "wait_ms"),
    [
        ({"Retry-After": "7"}, 7_000),
        ({"Retry-After": formatdate(NOW_MS / 1000 + 90, usegmt=True)}, 90_000),
        ({"Retry-After": formatdate(NOW_MS / 1000 - 90, usegmt=True)}, 0),
        ({"Retry-After": "soon"}, 15_000),
        ({"Retry-After": "-3"}, 15_000),
        ({}, 15_000),
    ],
)
@pytest.mark.parametrize("status", [429, 500, 503])
def test_a_push_service_that_asks_to_wait_is_waited_for(push_service, status, headers, wait_ms):
    push_service.answers["/one"] = [(status, headers)]
    answer = sent(push_service)
    assert (answer.outcome, answer.wait_ms) == (webpush.LATER, wait_ms)


def test_without_a_word_on_how_long_each_wait_is_twice_as_long_up_to_five_minutes(push_service):
    push_service.answers["/one"] = [(500, {})]
    waits = [sent(push_service, tries=tries).wait_ms // 1000 for tries in (1, 2, 3, 4, 5, 6, 60)]
    assert waits == [15, 30, 60, 120, 240, 300, 300]


@pytest.mark.parametrize("status", [301, 302, 307, 308])
def test_a_push_service_that_sends_us_elsewhere_is_not_followed(push_service, status):
    push_service.answers["/one"] = [(status, {"Location": f"http://{push_service.host}/two"})]
    assert sent(push_service).outcome == webpush.REFUSED
    assert [path for path, _, _ in push_service.came] == ["/one"]


@pytest.mark.parametrize("status", [400, 401, 403])
def test_a_message_that_is_not_taken_is_refused_and_not_tried_again(push_service, status):
    push_service.answers["/one"] = [(status, {})]
    answer = sent(push_service)
    assert answer.outcome == webpush.REFUSED
    assert answer.why.startswith(str(status))


def test_a_push_service_that_hangs_is_left_after_a_while(push_service, monkeypatch):
    monkeypatch.setattr(webpush, "TIMEOUT_S", 0.3)
    push_service.answers["/one"] = [("hang", {})]
    began = time.monotonic()
    assert sent(push_service).outcome == webpush.LATER
    assert time.monotonic() - began < 3


def test_a_push_service_that_is_not_there_is_tried_later(settings, push_service):
    settings.PUSH_HOSTS = ("127.0.0.1:9",)
    to = webpush.Address(**{**push_service.keys(), "endpoint": "http://127.0.0.1:9/one"})
    assert webpush.send(to, SAID, 60, NOW_MS).outcome == webpush.LATER
