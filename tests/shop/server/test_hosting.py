"""What a host needs: health, closed sign-up, settings that are written down, samples that name no others."""

import dataclasses
import http.server
import os
import re
import ssl
import subprocess
import sys
import threading

import pytest
from django.core.exceptions import ImproperlyConfigured
from django.db import OperationalError
from django.db.migrations.recorder import MigrationRecorder
from django.test import Client

from shop.base import limits, secret_file
from shop.hosting import healthy
from shop.models import Phone, Shop
from shop.security import https_only
from shop.server import health
from tests.conftest import ROOT

OWN = {"X-Sandtime": "1"}
SETTING = re.compile(r"\b(?:SANDTIME_[A-Z_]+|DATABASE_URL)\b")
TESTS_OWN = {"SANDTIME_PORT"}  # said to the health check only, beside it
SAMPLES = sorted(path for path in (ROOT / "shop/hosting").iterdir() if path.is_file())


# --- health ---


def test_a_server_that_lives_says_so_without_a_database():
    """Outside of django_db any question to the database fails the test."""
    answer = Client().get("/healthz")
    assert (answer.status_code, answer.content) == (200, b"alive")
    assert "no-store" in answer.headers["Cache-Control"]


@pytest.mark.django_db
def test_a_server_is_ready_when_the_database_answers_and_has_every_table(monkeypatch):
    monkeypatch.setitem(health._last_check, "at", None)  # another test may just have filled the disk
    assert (Client().get("/readyz").status_code, Client().get("/readyz").content) == (200, b"ready")
    MigrationRecorder.Migration.objects.filter(app="timers").last().delete()
    answer = Client().get("/readyz")
    assert (answer.status_code, answer.content) == (503, b"Migrations are missing.")


def test_a_server_whose_database_is_away_is_not_ready_and_says_no_secret(monkeypatch):
    def away(*_):
        raise OperationalError("connection to db.example failed: password hunter2")

    monkeypatch.setattr(health, "MigrationExecutor", away)
    answer = Client().get("/readyz")
    assert (answer.status_code, answer.content) == (503, b"The database does not answer.")


@pytest.mark.parametrize(("path", "status"), [("/healthz", 200), ("/readyz", 503)])
def test_health_is_asked_without_https_also_where_all_else_is_sent_there(path, status, settings, monkeypatch):
    settings.SECURE_SSL_REDIRECT = True
    monkeypatch.setattr(health, "MigrationExecutor", lambda _: (_ for _ in ()).throw(OperationalError))
    assert Client().get(path).status_code == status
    assert Client().get("/").status_code == 301


@pytest.mark.parametrize(("status", "ends"), [(200, 0), (503, 1)])
def test_the_check_of_a_container_asks_under_the_name_of_the_host(status, ends, monkeypatch):
    asked = []

    class Answer(http.server.BaseHTTPRequestHandler):
        def do_GET(self):
            asked.append((self.path, self.headers["Host"]))
            self.send_response(status)
            self.end_headers()

        def log_message(self, *_):
            """Say nothing."""

    server = http.server.HTTPServer(("127.0.0.1", 0), Answer)
    threading.Thread(target=server.handle_request, daemon=True).start()
    monkeypatch.setenv("SANDTIME_PORT", str(server.server_port))
    monkeypatch.setenv("SANDTIME_HOSTS", "clock.example.org,other.example.org")
    assert healthy.main() == ends
    server.server_close()
    assert asked == [("/readyz", "clock.example.org")]
    assert healthy.main() == 1


# --- sign-up ---


@pytest.mark.django_db
def test_where_sign_up_is_closed_nobody_makes_a_shop_and_it_is_said_in_words(settings):
    settings.SIGNUP = False
    answer = Client().post("/begin", headers=OWN)
    words = "New shops cannot be made here. Ask a phone of your shop to let this one in."
    assert (answer.status_code, answer.content.decode()) == (403, words)
    assert not Shop.objects.exists()
    assert not Phone.objects.exists()


@pytest.mark.django_db
def test_an_open_shop_may_be_joined_also_where_sign_up_is_closed(settings):
    assert Client().post("/begin", headers=OWN).status_code == 200
    settings.SIGNUP, settings.OPEN_SHOP = False, True
    assert Client().post("/begin", headers=OWN).status_code == 200
    assert (Shop.objects.count(), Phone.objects.count()) == (1, 2)


# --- settings and samples ---


@pytest.mark.parametrize("path", [*SAMPLES, ROOT / "shop/settings.py"], ids=lambda path: path.name)
def test_every_setting_that_a_sample_or_the_settings_name_is_in_the_table_of_the_readme(path):
    table = {row.split("`")[1] for row in (ROOT / "README.md").read_text().splitlines() if row.startswith("| `")}
    assert set(SETTING.findall(path.read_text(encoding="utf-8"))) <= table | TESTS_OWN


def test_django_finds_nothing_to_warn_of_with_the_settings_of_a_host(tmp_path):
    given = {"SANDTIME_HTTPS": "1", "SANDTIME_HOSTS": "clock.example.org", "SANDTIME_DATA": str(tmp_path)}
    env = {name: value for name, value in os.environ.items() if name != "DJANGO_ALLOW_ASYNC_UNSAFE"}  # ours, for tests
    command = [sys.executable, "manage.py", "check", "--deploy", "--fail-level", "WARNING"]
    ran = subprocess.run(command, cwd=ROOT, env=env | given, capture_output=True, text=True, check=False)
    assert ran.returncode == 0, ran.stderr
    assert "no issues" in ran.stdout


def test_the_proxy_sample_holds_no_event_back():
    live = (ROOT / "shop/hosting/nginx.conf").read_text().partition("location /live {")[2].partition("}")[0]
    assert {"proxy_buffering off;", "gzip off;"} <= {line.strip() for line in live.splitlines()}


def test_the_proxy_sample_takes_todays_tls_only_and_ciphers_whose_keys_nobody_reckons_later():
    said = (ROOT / "shop/hosting/nginx.conf").read_text()
    assert re.findall(r"ssl_protocols (.*);", said) == ["TLSv1.2 TLSv1.3"]
    (ciphers,) = re.findall(r"ssl_ciphers (.*);", said)
    proxy = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    proxy.set_ciphers(ciphers)
    taken = [one for one in proxy.get_ciphers() if one["protocol"] == "TLSv1.2"]
    assert {one["kea"] for one in taken} == {"kx-ecdhe"}
    assert all(one["aead"] for one in taken)


def test_the_proxy_sample_sends_the_page_alone_from_http_to_https():
    plain = (ROOT / "shop/hosting/nginx.conf").read_text().partition("listen 80;")[2].partition("listen 443")[0]
    places = dict(re.findall(r"location (.*?) \{\s*(.*?)\s*\}", plain, re.DOTALL))
    assert places["= /"] == "return 301 https://$host$request_uri;"
    assert f'return 403 "{https_only.WORDS}";' in places["/"]
    assert plain.count("return") == 2


@pytest.mark.parametrize(
    ("given", "header"),
    [
        ({}, (31_536_000, False, False)),
        ({"SANDTIME_HSTS_S": "3600"}, (3_600, False, False)),
        ({"SANDTIME_HSTS_SUBDOMAINS": "1", "SANDTIME_HSTS_PRELOAD": "1"}, (31_536_000, True, True)),
    ],
)
def test_https_binds_this_name_only_unless_the_host_says_more(given, header, tmp_path):
    names = ("SECONDS", "INCLUDE_SUBDOMAINS", "PRELOAD")
    script = f"from shop import settings; print(tuple(getattr(settings, 'SECURE_HSTS_' + name) for name in {names}))"
    env = {**os.environ, "SANDTIME_HTTPS": "1", "SANDTIME_DATA": str(tmp_path), **given}
    assert subprocess.check_output([sys.executable, "-c", script], cwd=ROOT, env=env, text=True).strip() == str(header)


def test_a_limit_that_is_no_number_is_refused_in_one_sentence():
    with pytest.raises(ImproperlyConfigured, match=r"SANDTIME_BODY_S must be a number above 0, not 'soon'."):
        limits.from_environment({"SANDTIME_BODY_S": "soon"})
    assert limits.from_environment({"SANDTIME_BODY_S": "1.5", "SANDTIME_THREADS": "3"}) == limits.Limits(
        body_s=1.5, threads=3
    )


def test_every_limit_is_in_the_table_of_the_readme_with_its_default():
    readme = (ROOT / "README.md").read_text()
    for field in dataclasses.fields(limits.Limits):
        row = next(row for row in readme.splitlines() if f"`SANDTIME_{field.name.upper()}`" in row)
        assert re.search(rf"\b{field.default}\b", row), row


def test_a_secret_that_was_cut_off_while_it_was_written_is_made_anew_once(tmp_path):
    path = tmp_path / "secret"
    path.touch()
    secret_file.make(path, b"first")
    secret_file.make(path, b"second")
    assert (path.read_bytes(), path.stat().st_mode & 0o777, list(tmp_path.iterdir())) == (b"first", 0o600, [path])


def test_the_samples_give_a_server_files_enough_and_hold_strangers_off():
    said = {path.name: path.read_text() for path in SAMPLES}
    assert "LimitNOFILE=65536" in said["sandtime.service"]
    assert "nofile: 65536" in said["compose.yaml"]
    for word in ("worker_connections", "limit_req ", "limit_conn ", "client_body_timeout", "listen [::]:443"):
        assert word in said["nginx.conf"]
