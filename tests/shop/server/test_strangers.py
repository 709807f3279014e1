"""What strangers try at a real server: nobody else waits for it, and they are told so in words."""

import contextlib
import threading

import pytest

from tests.support.strangers import FORM, Stranger, Watched, asked, head

SHORT = {
    "SANDTIME_BODY_S": "1.5",
    "SANDTIME_HEAD_S": "1",
    "SANDTIME_STALL_S": "2",
    "SANDTIME_HELD_FOR_ADDRESS": "9000000",
}
BIG = "/static/vendor/jsQR.js"


@pytest.fixture(scope="module")
def server(tmp_path_factory):
    running = Watched(tmp_path_factory.mktemp("strangers") / "data").start(**SHORT)
    yield running
    running.stop()


@pytest.fixture
def strangers():
    with contextlib.ExitStack() as here:

        def come(server, sent: bytes, count: int = 1, takes: int = 0) -> list[Stranger]:
            came = [Stranger(server, sent, takes) for _ in range(count)]
            for one in came:
                here.callback(one.close)
            return came

        yield come


def test_forty_bodies_that_do_not_come_keep_nobody_waiting_and_are_given_up(server, strangers):
    slow = strangers(server, head("/begin", FORM, "Content-Length: 100000") + b"zone=", 40)
    assert asked(server)[0] == 200
    answers = [one.heard() for one in slow]
    assert asked(server)[0] == 200
    assert {one.split()[1] for one in answers} == {b"408", b"429"}  # an address has so many on their way at once
    late = next(one for one in answers if one.split()[1] == b"408")
    assert b"The body of this request took too long to arrive. Nothing was saved." in late
    assert b"retry-after" in late


def test_a_body_that_comes_promptly_is_taken_while_the_address_has_all_its_slow_ones(server, strangers):
    slow = strangers(server, head("/begin", FORM, "Content-Length: 100000") + b"zone=", 20)
    assert b"429" in slow[-1].wire.recv(100)
    assert asked(server, "join/look", b"typed=AAAAAA", X__Sandtime="1")[0] == 400


@pytest.mark.parametrize(
    "sent", [b"", b"GET /clock HTTP/1.1\r\nHost: local", b"\r\n"], ids=["nothing", "half", "empty"]
)
def test_a_head_that_does_not_come_is_given_up(server, strangers, sent):
    (slow,) = strangers(server, sent)
    assert slow.heard()[:12] in (b"", b"HTTP/1.1 408")


def test_a_head_that_comes_drop_by_drop_is_given_up(server, strangers):
    (slow,) = strangers(server, b"GET /clock HTTP/1.1\r\nHost: localhost\r\n")
    stop = threading.Event()

    def drip():
        with contextlib.suppress(OSError):
            while not stop.wait(0.2):
                slow.wire.sendall(b"X: y\r\n")

    threading.Thread(target=drip, daemon=True).start()
    assert slow.heard()[:12] in (b"", b"HTTP/1.1 408")
    stop.set()


def test_a_head_without_end_is_not_held_in_memory(server, strangers):
    (endless,) = strangers(server, b"GET /clock HTTP/1.1\r\nX: ")
    with contextlib.suppress(ConnectionError):
        for _ in range(64):
            endless.wire.sendall(b"y" * 10_000)
    assert endless.heard()[:12] in (b"", b"HTTP/1.1 431")
    (many,) = strangers(server, b"GET /clock HTTP/1.1\r\nHost: localhost\r\n" + b"X: y\r\n" * 500 + b"\r\n")
    assert many.heard()[:12] == b"HTTP/1.1 400"


def test_readers_who_take_nothing_hold_no_thread_and_are_let_go(server, strangers):
    """Each asks for far more than the system holds for it on the way."""
    asks = head(BIG, "Accept-Encoding: identity", method="GET") * 60
    slow = strangers(server, asks, 20, takes=4096)
    assert all(one.wire.recv(100) for one in slow)
    for _ in range(5):
        assert asked(server)[0] == 200
    threading.Event().wait(6)
    for one in slow:
        assert len(one.heard(1 << 26)) < 60 * 250_000  # it was cut off on the way


def test_a_reader_who_takes_his_time_gets_a_big_file_whole(server):
    whole = asked(server, BIG[1:], Accept__Encoding="identity")[2]
    slow = Stranger(server, head(BIG, "Accept-Encoding: identity", "Connection: close", method="GET"), takes=65536)
    received = b""
    while more := slow.wire.recv(30_000):
        received += more
        threading.Event().wait(0.02)
    slow.close()
    assert received.partition(b"\r\n\r\n")[2] == whole


def test_three_hundred_megabytes_of_files_are_refused_before_they_are_sent(server, strangers):
    kind = "Content-Type: multipart/form-data; boundary=x"
    (sender,) = strangers(server, head("/begin", kind, "Content-Length: 314572800") + b"--x\r\n")
    answer = sender.heard()
    assert answer.startswith(b"HTTP/1.1 415")
    assert answer.endswith(b"The server reads forms and JSON only, no files. Nothing was saved.")


@pytest.mark.parametrize("lines", [["Content-Length: 4200000"], ["Transfer-Encoding: chunked"]], ids=["said", "unsaid"])
def test_a_body_that_is_too_long_gets_413(server, strangers, lines):
    (sender,) = strangers(server, head("/sync", "Content-Type: application/json", *lines))
    if "chunked" in lines[0]:
        with contextlib.suppress(ConnectionError):
            sender.wire.sendall((b"10000\r\n" + b" " * 65536 + b"\r\n") * 70)
    assert sender.heard().startswith(b"HTTP/1.1 413")


def test_bodies_of_one_address_that_fill_its_share_of_memory_are_refused_and_others_are_not_taken_for_them(
    server, strangers
):
    big = head("/sync", "Content-Type: application/json", "Content-Length: 4000000") + b" " * 3_900_000
    slow = strangers(server, big, 4)
    statuses = sorted(one.heard().split()[1] for one in slow)
    assert statuses[0] == b"408"
    assert statuses[-1] == b"429"
    assert asked(server)[0] == 200


def test_a_post_in_pieces_is_taken_whole(server, strangers):
    body = b"typed=" + b"A" * 6
    (sender,) = strangers(server, head("/join/look", FORM, f"Content-Length: {len(body)}", "Connection: close"))
    for at in range(len(body)):
        sender.wire.sendall(body[at : at + 1])
        threading.Event().wait(0.01)
    answer = sender.heard()
    assert answer.startswith((b"HTTP/1.1 400", b"HTTP/1.1 429"))
    assert b"code" in answer


@pytest.mark.parametrize(
    "lines",
    [
        ["Content-Length: 5", "Transfer-Encoding: chunked"],
        ["Transfer-Encoding: chunked", "Content-Length: 5"],
        ["Content-Length: 5", "Content-Length: 60"],
        ["Content-Length: 60", "Content-Length: 5"],
        ["Content-Length: 5, 60"],
        ["Content-Length: +5"],
        ["Transfer-Encoding: chunked, identity"],
        ["Transfer-Encoding: xchunked"],
        ["Transfer-Encoding : chunked"],
        ["Content-Length: 5", " continued: 1"],
    ],
    ids=" + ".join,
)
def test_a_request_whose_end_is_open_to_doubt_is_refused_and_nothing_behind_it_is_answered(server, strangers, lines):
    behind = head("/clock", method="GET")
    (sender,) = strangers(server, head("/join/look", FORM, *lines) + b"0\r\n\r\n" + behind)
    answer = sender.heard()
    assert answer.startswith(b"HTTP/1.1 400")
    assert answer.count(b"HTTP/1.1 ") == 1


def wrong_codes(server, *lines: str) -> set[int]:
    statuses = set()
    for no in range(45):
        named = [line.format(no) for line in lines]
        asks = Stranger(server, head("/join/look", FORM, "Content-Length: 15", *named) + b"typed=ZZZZZZZZZ")
        statuses.add(asks.status())
        asks.close()
    return statuses


def test_who_invents_where_he_comes_from_is_believed_neither_without_a_proxy_nor_past_one(server, tmp_path):
    assert 429 in wrong_codes(server, "X-Forwarded-For: 203.0.113.{}")
    proxied = Watched(tmp_path / "data").start(SANDTIME_BEHIND_PROXY="1")
    try:
        assert 429 in wrong_codes(proxied, "X-Forwarded-For: 198.51.100.7", "X_Forwarded_For: 203.0.113.{}")
    finally:
        proxied.stop()


def test_the_server_does_not_say_what_it_runs_on_and_answers_what_watchers_ask(server):
    for path in ("", "healthz", "readyz"):
        status, headers, body = asked(server, path, method="HEAD")
        assert (status, headers["Server"], body) == (200, None, b"")
    headers = asked(server, "")[1]
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    assert "geolocation=()" in headers["Permissions-Policy"]
    status, _, body = asked(server, "", If__None__Match=headers["ETag"])
    assert (status, body) == (304, b"")
    assert "no-store" in asked(server, "sync", b"", X__Sandtime="1")[1]["Cache-Control"]


def test_what_strangers_do_does_not_fill_the_log(server, strangers):
    before = len(server.output.read_text())
    for _ in range(50):
        (odd,) = strangers(server, b"GET /clock HTTP/1.1\r\nHost: elsewhere.example\r\nConnection: close\r\n\r\n")
        assert odd.status() == 400
    for sent in [b"GET /nowhere HTTP/1.1\r\nHost: localhost\r\nConnection: close\r\n\r\n", b"\x16\x03\x01\r\n\r\n"]:
        for odd in strangers(server, sent, 20):
            assert odd.status() in (400, 404)
    assert len(server.output.read_text()[before:].splitlines()) <= 3  # one of each kind
    assert "Traceback" not in server.output.read_text()


def test_what_lies_in_the_data_folder_is_for_the_servers_eyes_only(server):
    assert {path.stat().st_mode & 0o077 for path in server.folder.iterdir() if path.is_file()} == {0}
