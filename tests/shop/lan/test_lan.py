"""A shop box on its own network: its authority and certificates, judged by others than those that made them."""

import ipaddress
import os
import shutil
import ssl
import subprocess
from datetime import timedelta

import pytest
from cryptography import x509

from shop.lan import certificates
from tests.support.boxes import Chain, Refused

NOW = certificates.now()
NAMES = ["192.168.7.20", "fd00::7", "shopbox.local", "localhost"]


@pytest.fixture
def chain(tmp_path) -> Chain:
    return Chain(tmp_path / "lan", NAMES)


def part(certificate: x509.Certificate, kind):
    return certificate.extensions.get_extension_for_class(kind)


# --- by Python's own TLS, which is OpenSSL's ---


@pytest.mark.parametrize("name", NAMES)
def test_a_phone_that_has_the_authority_trusts_every_name_of_the_box(chain, name):
    assert chain.handshake(name) in ("TLSv1.2", "TLSv1.3")


@pytest.mark.parametrize("name", ["192.168.7.21", "other.local", "example.org", "127.0.0.1"])
def test_under_another_name_it_is_refused(chain, name):
    with pytest.raises(Refused, match=r"not valid for|doesn't match|mismatch"):
        chain.handshake(name)


def test_a_phone_without_the_authority_or_with_another_refuses(chain, tmp_path):
    with pytest.raises(Refused, match=r"self-signed|unable to get local issuer"):
        chain.handshake("localhost", ssl.create_default_context())
    other = certificates.ensure_files(tmp_path / "other", NAMES, NOW)
    with pytest.raises(Refused):
        chain.handshake("localhost", ssl.create_default_context(cadata=other.authority))


@pytest.mark.parametrize("name", ["clock.example.org", "198.51.100.7", "2001:db8::7", "localhost.example"])
def test_the_authority_can_vouch_for_nothing_outside_private_networks(tmp_path, name):
    assert not certificates.is_private(name)
    chain = Chain(tmp_path / "lan", [name])
    with pytest.raises(Refused, match="permitted subtree violation"):
        chain.handshake(name)


# --- by the openssl command ---


@pytest.mark.skipif(not shutil.which("openssl"), reason="openssl is not installed")
def test_openssl_finds_nothing_wrong_by_its_strict_rules(chain, tmp_path):
    authority = tmp_path / "authority.pem"
    authority.write_text(ssl.DER_cert_to_PEM_cert(chain.files.authority))
    command = ["openssl", "verify", "-x509_strict", "-purpose", "sslserver", "-CAfile", authority, chain.files.leaf]
    ran = subprocess.run(command, capture_output=True, text=True, check=False)
    assert (ran.returncode, ran.stdout) == (0, f"{chain.files.leaf}: OK\n"), ran.stderr


# --- what stands in them ---


def test_the_certificate_is_what_phones_ask_for(chain):
    leaf = chain.leaf()
    assert leaf.not_valid_after_utc - leaf.not_valid_before_utc <= timedelta(days=825)
    assert leaf.not_valid_before_utc <= NOW - timedelta(hours=23), "a phone whose clock is slow"
    assert [usage.dotted_string for usage in part(leaf, x509.ExtendedKeyUsage).value] == ["1.3.6.1.5.5.7.3.1"]
    said = part(leaf, x509.SubjectAlternativeName).value
    assert said.get_values_for_type(x509.DNSName) == ["shopbox.local", "localhost"]
    assert said.get_values_for_type(x509.IPAddress) == [ipaddress.ip_address(one) for one in NAMES[:2]]
    assert not part(leaf, x509.BasicConstraints).value.ca


def test_the_authority_can_sign_leaves_and_no_further_authority(chain):
    authority, leaf = chain.authority(), chain.leaf()
    limits = part(authority, x509.BasicConstraints)
    assert (limits.critical, limits.value.ca, limits.value.path_length) == (True, True, 0)
    assert part(authority, x509.NameConstraints).critical
    key_id = part(authority, x509.SubjectKeyIdentifier).value.digest
    assert part(leaf, x509.AuthorityKeyIdentifier).value.key_identifier == key_id
    assert part(leaf, x509.SubjectKeyIdentifier).value.digest != key_id


def test_keys_are_for_the_eyes_of_the_box_alone_and_are_not_given_out(chain):
    assert {path.name: path.stat().st_mode & 0o777 for path in chain.folder.iterdir()} == {
        "authority.pem": 0o600,
        "leaf.pem": 0o600,
    }
    assert b"PRIVATE" not in chain.files.authority
    x509.load_der_x509_certificate(chain.files.authority)


# --- when they are made anew ---


def test_the_same_day_nothing_is_made_anew(chain):
    again = certificates.ensure_files(chain.folder, list(reversed(NAMES)), NOW)
    assert (again.made, again.authority) == (False, chain.files.authority)


@pytest.mark.parametrize(
    ("names", "days", "made"),
    [
        (NAMES, 365, False),
        (NAMES, 367, True),
        (NAMES, -2, True),
        ([*NAMES, "10.0.0.9"], 0, True),
        (NAMES[1:], 0, True),
    ],
)
def test_a_leaf_is_made_anew_for_other_addresses_and_a_month_before_its_end(chain, names, days, made):
    before = chain.leaf().serial_number
    files = certificates.ensure_files(chain.folder, names, NOW + timedelta(days=days))
    assert files.made == made
    assert (chain.leaf().serial_number != before) == made
    assert files.authority == chain.files.authority, "no phone has to install anything again"


def test_the_authority_is_made_anew_only_before_a_leaf_would_outlive_it(chain):
    old = certificates.AUTHORITY_DAYS - certificates.LEAF_DAYS
    assert (
        certificates.ensure_files(chain.folder, NAMES, NOW + timedelta(days=old - 2)).authority == chain.files.authority
    )
    late = certificates.ensure_files(chain.folder, NAMES, NOW + timedelta(days=old))
    assert late.made
    assert late.fingerprint != chain.files.fingerprint


@pytest.mark.parametrize("damage", [b"", b"-----BEGIN CERTIFICATE-----\nAAAA\n-----END CERTIFICATE-----\n"])
def test_a_leaf_that_cannot_be_read_is_made_anew_and_a_broken_authority_is_said_and_left_alone(chain, damage):
    chain.files.leaf.write_bytes(damage)
    assert certificates.ensure_files(chain.folder, NAMES, NOW).made
    assert chain.handshake("localhost")
    authority = chain.folder / "authority.pem"
    authority.write_bytes(damage)
    with pytest.raises(certificates.CertificateError, match="cannot be read"):
        certificates.ensure_files(chain.folder, NAMES, NOW)
    assert authority.read_bytes() == damage


# --- what the box is called ---


def test_the_names_of_a_box_are_those_that_its_authority_can_vouch_for(monkeypatch):
    monkeypatch.setattr(certificates.socket, "gethostname", lambda: "Shop_Box-2.example.org")
    monkeypatch.setattr(
        certificates, "_addresses", lambda: ["203.0.113.5", "10.1.2.3", "fe80::1", "fd00::2", "127.0.0.1", "10.1.2.3"]
    )
    assert certificates.host_names() == ["10.1.2.3", "shopbox-2.local", "localhost", "127.0.0.1"]
    assert certificates.host_names("::") == ["fd00::2", "shopbox-2.local", "localhost", "::1"]
    assert certificates.host_names("192.168.1.9") == ["192.168.1.9", "shopbox-2.local"]
    assert all(map(certificates.is_private, certificates.host_names() + certificates.host_names("::")))


def test_the_addresses_of_this_machine_can_be_bound_here():
    found = {address for address in certificates._addresses() if "%" not in address}
    assert found, os.uname()
    for address in found:
        assert ipaddress.ip_address(address)
