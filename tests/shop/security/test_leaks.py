"""What is not given away: how the server is made, by its errors, files and logs; what is meant not to be guessed."""

import ast
import http.server
import io
import logging
import math
import ssl
import threading
from urllib.parse import quote

import pytest
from django.test import Client

from shop import settings as host
from shop.base import logs
from shop.lan import certificates
from shop.phones import code_alphabet, joining, recovery_phrase
from shop.push import webpush
from shop.security import access
from tests.conftest import ROOT
from tests.shop.security.test_access import HTMX, OWN, begun
from timers.web import pages

GIVES_AWAY = ("Traceback", "RuntimeError", "hunter2", "site-packages", "django", "Django", "/shop/", "SELECT", "sqlite")
HIDDEN = ["/.git/config", "/.git/HEAD", "/.env", "/manage.py", "/pyproject.toml", "/shop/settings.py", "/.var/secret"]
HIDDEN += ["/static/", "/static/js/", "/static/../shop/settings.py", "/static/%2e%2e/manage.py", "/static//etc/passwd"]
BY_CHANCE = {"hub": "random"}  # when a stream is asked again; nothing hangs on it


@pytest.mark.django_db
def test_an_error_says_nothing_of_how_the_server_is_made(monkeypatch):
    def broken(*_, **__):
        raise RuntimeError("SELECT hunter2")

    client = begun()
    client.raise_request_exception = False
    monkeypatch.setattr(pages, "exchange", broken)
    odd_host = {"Host": "other.example"}
    answers = {
        500: client.post("/sync", {"acts": "[]"}, headers=HTMX),
        404: client.get("/nowhere"),
        405: client.get("/sync"),
        403: client.post("/sync", headers={"Origin": "https://other.example"}),
        400: client.get("/", headers=odd_host),
        401: Client().post("/sync", {"acts": "[]"}, headers=HTMX),
    }
    for status, answer in answers.items():
        assert answer.status_code == status
        assert [word for word in GIVES_AWAY if word in answer.content.decode()] == []
    assert all("Server" not in answer.headers and "X-Powered-By" not in answer.headers for answer in answers.values())


@pytest.mark.parametrize("path", HIDDEN)
def test_no_file_but_the_static_ones_is_served_and_no_folder_is_listed(path, settings):
    settings.WHITENOISE_USE_FINDERS = settings.WHITENOISE_AUTOREFRESH = True
    assert Client(raise_request_exception=False).get(path).status_code == 404


@pytest.mark.parametrize("formatter", [logs.Plain(), logs.Json()])
@pytest.mark.parametrize("sign", ["\n", "\r", "\r\n", "\x1b[2J"])
def test_no_address_that_is_asked_writes_a_line_of_its_own_into_the_log(sign, formatter, monkeypatch):
    handler = logging.StreamHandler(said := io.StringIO())
    handler.setFormatter(formatter)
    monkeypatch.setattr(logging.getLogger("django.request"), "handlers", [handler])
    Client().get(quote(f"/nowhere{sign}ERROR a keeper was let in"))
    (line,) = said.getvalue().removesuffix("\n").splitlines()
    assert "keeper" in line
    assert "\x1b" not in line


# --- what is meant not to be guessed ---


def test_a_token_is_256_bits_by_chance_and_no_two_are_alike():
    made = {access.new_secret() for _ in range(1000)}
    assert len(made) == 1000
    assert all(len(webpush.webpush_crypto.b64url_decode(token)) == 32 for token in made)


def test_a_code_has_more_than_20_bits_and_a_phrase_more_than_128():
    assert joining.CODE_SIGNS * math.log2(len(code_alphabet.ALPHABET)) > 20
    assert (recovery_phrase.SIGNS - recovery_phrase.GROUP) * math.log2(len(code_alphabet.ALPHABET)) > 128
    assert len(set(code_alphabet.ALPHABET)) == len(code_alphabet.ALPHABET)
    assert joining.GOOD_MS <= 600_000


def test_signs_are_drawn_by_the_source_for_secrets_and_each_as_often(monkeypatch):
    drawn = code_alphabet.random_signs(26_000)
    assert all(800 < drawn.count(sign) < 1200 for sign in code_alphabet.ALPHABET)  # 1000 each, six deviations of 31
    monkeypatch.setattr(code_alphabet.secrets, "choice", lambda alphabet: alphabet[0])
    assert code_alphabet.random_signs(6) == code_alphabet.ALPHABET[0] * 6


@pytest.mark.parametrize("path", sorted((ROOT / "shop").glob("*.py")), ids=lambda path: path.stem)
def test_nothing_that_is_meant_not_to_be_guessed_comes_from_a_source_that_can_be(path):
    tree = ast.parse(path.read_text(encoding="utf-8"))
    names = [one.name for node in ast.walk(tree) if isinstance(node, ast.Import) for one in node.names]
    names += [node.module for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)]
    assert "random" not in names or BY_CHANCE.get(path.stem) == "random"


def test_the_secret_is_made_once_of_512_bits_and_for_the_eyes_of_its_owner(tmp_path, monkeypatch):
    monkeypatch.delenv("SANDTIME_SECRET", raising=False)
    monkeypatch.setattr(host, "DATA_DIR", tmp_path / "data")
    made = host._secret()
    assert host._secret() == made
    assert len(webpush.webpush_crypto.b64url_decode(made)) == 64
    assert (tmp_path / "data/secret").stat().st_mode & 0o077 == 0


# --- samples for hosts ---


def test_no_sample_brings_a_password_or_secret_of_its_own():
    said = {path.name: path.read_text() for path in (ROOT / "shop/hosting").iterdir() if path.is_file()}
    assert "POSTGRES_PASSWORD: ${POSTGRES_PASSWORD:?" in said["compose.yaml"]
    assert all("SANDTIME_SECRET=" not in text for text in said.values())
    assert "User=root" not in said["sandtime.service"]
    assert "DynamicUser=yes" in said["sandtime.service"]
    assert "CapabilityBoundingSet=\n" in said["sandtime.service"]


def test_the_proxy_sample_keeps_what_watchers_ask_from_the_world():
    place = (ROOT / "shop/hosting/nginx.conf").read_text().partition("(healthz|readyz)$ {")[2].partition("}")[0]
    assert "deny all;" in place


# --- whom we speak to ---


def test_a_push_service_with_a_certificate_that_nobody_vouches_for_is_told_nothing(push_service, settings, tmp_path):
    came = []

    class Road(http.server.BaseHTTPRequestHandler):
        def do_POST(self):
            came.append(self.path)

        def log_message(self, *_):
            """Say nothing."""

    box = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    box.load_cert_chain(certificates.ensure_files(tmp_path / "lan", ["localhost"], certificates.now()).leaf)
    server = http.server.HTTPServer(("127.0.0.1", 0), Road)
    server.socket = box.wrap_socket(server.socket, server_side=True)
    server.handle_error = lambda *_: None
    threading.Thread(target=server.handle_request, daemon=True).start()
    settings.PUSH_HOSTS = (f"localhost:{server.server_port}",)
    keys = {**push_service.keys(), "endpoint": f"https://localhost:{server.server_port}/one"}
    said = {"title": "Left door", "body": "", "tag": "trial", "at": "/#floor"}
    answer = webpush.send(webpush.Address(home="https://clock.example.org/", **keys), said, 60, 1_764_073_800_000)
    server.server_close()
    assert (answer.outcome, came) == (webpush.LATER, [])
    assert "CERTIFICATE_VERIFY_FAILED" in answer.why


@pytest.mark.django_db
def test_a_new_phone_gets_another_token_than_every_phone_before():
    tokens = {begun().cookies[access.COOKIE].value for _ in range(3)}
    again = Client()
    for _ in range(2):
        again.post("/begin", headers=OWN)
        tokens.add(again.cookies[access.COOKIE].value)
    assert len(tokens) == 5
