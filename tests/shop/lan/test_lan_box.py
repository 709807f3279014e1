"""`serve --lan` as a process, asked from outside as a phone would."""

import http.client
import socket
import ssl
import subprocess
import threading

import pytest
from cryptography import x509
from cryptography.hazmat.primitives import hashes

from shop.lan import box_server, certificates, trust_page
from tests.conftest import free_port
from tests.support.boxes import Box
from tests.support.strangers import FORM, head


@pytest.fixture(scope="module")
def box(tmp_path_factory):
    running = Box(tmp_path_factory.mktemp("box") / "data").ready()
    yield running
    running.stop()


def test_with_the_authority_from_its_page_a_phone_begins_under_each_name_of_the_box(box):
    for host in ("localhost", "127.0.0.1"):
        answer, body = box.ask("POST", "/begin", b"zone=UTC", host, **{"X-Sandtime": "1"})
        assert answer.status == 200, body
        assert "; Secure" in answer.headers["Set-Cookie"]
    answer, body = box.ask("GET", "/sw.js")
    assert (answer.status, b"const VERSION" in body) == (200, True)


def test_without_the_authority_it_is_not_trusted(box):
    road = http.client.HTTPSConnection("localhost", box.port, timeout=60)
    with pytest.raises(ssl.SSLCertVerificationError):
        road.request("GET", "/clock")


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
def test_old_tls_and_plain_http_get_nothing_from_the_https_port(box):
    old = box.trusting()
    old.set_ciphers("ALL:@SECLEVEL=0")  # a client that would take it
    old.minimum_version, old.maximum_version = ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1
    with socket.create_connection(("127.0.0.1", box.port), 60) as road, pytest.raises(ssl.SSLError):
        old.wrap_socket(road, server_hostname="localhost")
    old_modes = box.trusting()
    old_modes.set_ciphers("ECDHE+AES:!AESGCM:!AESCCM:@SECLEVEL=0")
    old_modes.maximum_version = ssl.TLSVersion.TLSv1_2
    with socket.create_connection(("127.0.0.1", box.port), 60) as road, pytest.raises(ssl.SSLError):
        old_modes.wrap_socket(road, server_hostname="localhost")
    with socket.create_connection(("127.0.0.1", box.port), 60) as road:
        road.sendall(b"GET /clock HTTP/1.1\r\nHost: localhost\r\n\r\n")
        assert not road.recv(4096).startswith(b"HTTP")


def test_a_host_that_it_is_not_called_is_refused(box):
    assert box.ask("GET", "/clock", Host="elsewhere.example")[0].status == 400


def test_the_page_tells_a_phone_what_to_do_and_gives_the_authority(box):
    answer, page = box.page()
    said = page.decode()
    assert (answer.status, answer.headers["Content-Type"]) == (200, "text/html; charset=utf-8")
    assert "default-src 'none'" in answer.headers["Content-Security-Policy"]
    assert f"https://127.0.0.1:{box.port}/" in said, "the address by which the phone came"
    answer, authority = box.page("/sandtime-authority.crt")
    assert answer.headers["Content-Type"] == "application/x-x509-ca-cert"
    kept = x509.load_pem_x509_certificate((box.folder / "lan/authority.pem").read_bytes())
    assert x509.load_der_x509_certificate(authority) == kept
    assert kept.fingerprint(hashes.SHA256()).hex(":").upper() in said


def test_the_page_draws_the_address_and_is_nothing_else(box):
    answer, drawing = box.page("/qr.svg")
    assert answer.headers["Content-Type"] == "image/svg+xml"
    assert drawing == trust_page.qr_svg(f"https://127.0.0.1:{box.port}/")
    assert box.page("/style.css")[1].startswith(b"@layer reset")
    assert box.page("/", "HEAD")[1] == b""
    for path in ("/clock", "/lan/authority.pem", "/../authority.pem", "/static/joined/floor.js"):
        assert box.page(path)[0].status == 404
    assert box.page("/", "POST")[0].status == 501


def test_its_screen_says_where_it_is_and_the_fingerprint_to_compare(box):
    said = box.output.read_text()
    first = certificates.bracketed(certificates.host_names()[0])
    assert f"Sandtime runs at https://{first}:{box.port}/" in said
    assert f"A new phone opens http://{first}:{box.page_port}/ first" in said
    assert trust_page.qr_text(f"http://{first}:{box.page_port}/") in said
    authority = x509.load_der_x509_certificate(box.page("/sandtime-authority.crt")[1])
    assert authority.fingerprint(hashes.SHA256()).hex(":").upper() in said


# --- what it refuses to begin with ---


@pytest.mark.parametrize(
    ("options", "words"),
    [
        (["--host", "203.0.113.5"], "203.0.113.5 is no address of a private network and no name ending in .local."),
        (["--page-port", "{taken}"], "cannot be had"),
    ],
)
def test_what_cannot_be_served_is_said_in_words(tmp_path, options, words):
    with socket.socket() as holder:
        holder.bind(("0.0.0.0", 0))
        holder.listen()
        taken = str(holder.getsockname()[1])
        failed = Box(tmp_path / "data", *[option.format(taken=taken) for option in options])
        assert failed.process.wait(timeout=120) == 1
    assert words in failed.output.read_text()
    assert "Traceback" not in failed.output.read_text()


# --- while it runs ---


def test_an_address_that_comes_while_it_runs_is_in_the_certificate_of_the_next_visit(tmp_path, monkeypatch, settings):
    settings.ALLOWED_HOSTS = ["localhost"]
    monkeypatch.setattr(certificates, "host_names", lambda host="": ["10.0.0.5", "localhost"])
    box = box_server.Box("127.0.0.1", free_port(), 0, tmp_path / "lan", lambda words: None)
    try:
        assert box.refresh()
        assert not box.refresh(), "nothing has changed"
        served = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
        served.load_cert_chain(box.files.leaf)
        box.server = type("Server", (), {"config": type("Config", (), {"ssl": served})})
        assert "10.0.0.6" not in _names_served(served, box.files)
        monkeypatch.setattr(certificates, "host_names", lambda host="": ["10.0.0.6", "localhost"])
        assert box.refresh()
        assert _names_served(served, box.files) == {"10.0.0.6", "localhost"}
        assert {"10.0.0.5", "10.0.0.6"} <= set(settings.ALLOWED_HOSTS)
        assert box.page.address_for("10.0.0.6:8080").startswith("https://10.0.0.6:")
        assert box.page.address_for("evil.example:8080").startswith("https://10.0.0.6:")
    finally:
        box.page.server_close()


def _names_served(served: ssl.SSLContext, files: certificates.Files) -> set[str]:
    """The names in the certificate that a new visit gets."""
    here, there = socket.socketpair()
    trusts = ssl.create_default_context(cadata=files.authority)
    client = trusts.wrap_socket(here, server_hostname="localhost", do_handshake_on_connect=False)
    server = served.wrap_socket(there, server_side=True, do_handshake_on_connect=False)
    with client, server:
        for side in (client, server):
            side.setblocking(False)
        for _ in range(10):
            for side in (client, server):
                try:
                    side.do_handshake()
                except ssl.SSLWantReadError:
                    continue
        return {name for _, name in client.getpeercert()["subjectAltName"]}


def test_openssl_as_a_client_takes_it_too(box, tmp_path):
    authority = tmp_path / "authority.pem"
    authority.write_text(ssl.DER_cert_to_PEM_cert(box.page("/sandtime-authority.crt")[1]))
    command = ["openssl", "s_client", "-connect", f"127.0.0.1:{box.port}", "-CAfile", authority]
    command += ["-verify_return_error", "-verify_hostname", "localhost"]
    ran = subprocess.run(command, input="", capture_output=True, text=True, check=False, timeout=60)
    assert "Verify return code: 0 (ok)" in ran.stdout, ran.stderr


def test_bodies_and_heads_that_do_not_come_over_tls_keep_nobody_waiting(box):
    trusted, slow = box.trusting(), []
    for said in [head("/begin", FORM, "Content-Length: 100000") + b"zone="] * 40 + [b"GET /clock HTTP"] * 10:
        slow.append(
            trusted.wrap_socket(socket.create_connection(("127.0.0.1", box.port), 60), server_hostname="localhost")
        )
        slow[-1].sendall(said)
    slow += [socket.create_connection(("127.0.0.1", box.port), 60) for _ in range(20)]  # not even a handshake
    assert box.ask("GET", "/clock")[0].status == 200
    for one in slow:
        one.close()


def test_a_crowd_at_the_page_gets_so_many_threads_and_no_more():
    page = trust_page.Page("127.0.0.1", 0, 8443)
    page.start()
    before = threading.active_count()
    crowd = [socket.create_connection(page.server_address, 20) for _ in range(60)]
    turned_away = 0
    for one in crowd[trust_page.MOST_OF_ONE :]:
        turned_away += one.recv(1) == b""
    assert turned_away == 60 - trust_page.MOST_OF_ONE
    assert threading.active_count() - before <= 2 * trust_page.MOST_OF_ONE  # one each, and one that ends it
    for one in crowd:
        one.close()
    page.shutdown()
    page.server_close()
