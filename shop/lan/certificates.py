"""Certificates for https on a shop's own network: a private authority, and a leaf for this machine's addresses.

Name constraints limit the authority to private networks and .local names, so that trusting it opens a phone to nothing
else.  Key and certificate share one file, so that they always belong together.
"""

import os
import socket
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address, ip_network
from pathlib import Path

from cryptography import x509
from cryptography.hazmat.primitives import hashes, serialization
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.x509.oid import ExtendedKeyUsageOID, NameOID

PRIVATE = ("10.0.0.0/8", "172.16.0.0/12", "192.168.0.0/16", "169.254.0.0/16", "fc00::/7")  # RFC 1918, 3927, 4193
LOOPBACK = ("127.0.0.0/8", "::1/128")
NAMES = ("local", "localhost")
LOOPBACK_HOSTS = ("127.0.0.1", "::1")
ANY = ("0.0.0.0", "::")  # every address of the machine, of one family
AUTHORITY_DAYS = 3650
LEAF_DAYS = 397  # at most 825: Apple support article 103769, "Requirements for trusted certificates"
RENEW_DAYS = 30
EARLIER = timedelta(days=1)  # for phones whose clock is slow
UNROUTED = (("192.0.2.1", socket.AF_INET), ("2001:db8::1", socket.AF_INET6))  # RFC 5737, RFC 3849: nobody is asked


class CertificateError(ValueError):
    """The authority's file exists but cannot be read; it is not overwritten, since phones trust it."""


@dataclass(frozen=True)
class Files:
    """What https needs: the leaf (key and certificate), the authority's certificate as a phone takes it."""

    leaf: Path
    authority: bytes  # DER
    made: bool  # whether the leaf was made anew
    fingerprint: str  # SHA-256 of the authority, as phones show it


def ensure_files(folder: Path, names: list[str], now: datetime) -> Files:
    """The certificates for these names, created where they are missing, for other names or about to expire."""
    folder.mkdir(parents=True, exist_ok=True)
    authority, key = _authority(folder / "authority.pem", now)
    path = folder / "leaf.pem"
    made = not _is_current(path, names, authority, now)
    if made:
        _write(path, *_leaf(names, authority, key, now))
    der = authority.public_bytes(serialization.Encoding.DER)
    return Files(path, der, made, authority.fingerprint(hashes.SHA256()).hex(":").upper())


def host_names(host: str = ANY[0]) -> list[str]:
    """The names of this machine, the likeliest for a phone first: its private addresses, NAME.local, and loopback; only
    `host` and NAME.local where it listens at one address."""
    label = "".join(sign for sign in socket.gethostname().partition(".")[0].lower() if sign.isalnum() or sign == "-")
    local = [f"{label}.local"] if label and label != "localhost" else []
    if host not in ANY:
        return list(dict.fromkeys([host, *local]))
    addresses = [one for one in (*_addresses(), *LOOPBACK_HOSTS) if (":" in one) == (":" in host)]
    private = [one for one in addresses if _is_in(one, PRIVATE)]
    return list(dict.fromkeys([*private, *local, "localhost", *(one for one in addresses if one in LOOPBACK_HOSTS)]))


def is_private(name: str) -> bool:
    """Whether the authority's constraints allow a name or an address."""
    if (address := _address(name)) is not None:
        return _is_in(str(address), PRIVATE + LOOPBACK)
    return name == "localhost" or name.endswith(".local")


def bracketed(name: str) -> str:
    """A host as it is written in a URL: an IPv6 address in brackets."""
    return f"[{name}]" if ":" in name else name


def _authority(path: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """The stored authority, or a new one where there is none or a new leaf would outlive it."""
    if path.exists():
        try:
            pem = path.read_bytes()
            current = x509.load_pem_x509_certificate(pem), serialization.load_pem_private_key(pem, None)
        except ValueError as why:
            raise CertificateError(
                f"{path} cannot be read. Put it back, or take it away and install a new one on each phone."
            ) from why
        if current[0].not_valid_after_utc - now > timedelta(days=LEAF_DAYS):
            return current
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Sandtime on {socket.gethostname()}"[:64])])
    allowed = [x509.DNSName(one) for one in NAMES] + [x509.IPAddress(ip_network(one)) for one in PRIVATE + LOOPBACK]
    certificate = (
        _builder(name, name, key.public_key(), now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(key_cert_sign=True, crl_sign=True), critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _write(path, certificate, key)
    return certificate, key


def _leaf(names: list[str], authority: x509.Certificate, authority_key, now: datetime) -> tuple:
    key = ec.generate_private_key(ec.SECP256R1())
    subjects = [x509.DNSName(one) if _address(one) is None else x509.IPAddress(_address(one)) for one in names]
    issuer_id = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Sandtime shop box")])
    certificate = (
        _builder(name, authority.subject, key.public_key(), now, LEAF_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(subjects), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(issuer_id), critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    return certificate, key


def _builder(subject: x509.Name, issuer: x509.Name, public_key, now: datetime, days: int) -> x509.CertificateBuilder:
    return (
        x509.CertificateBuilder()
        .subject_name(subject)
        .issuer_name(issuer)
        .public_key(public_key)
        .serial_number(x509.random_serial_number())
        .not_valid_before(now - EARLIER)
        .not_valid_after(now - EARLIER + timedelta(days=days))
        .add_extension(x509.SubjectKeyIdentifier.from_public_key(public_key), critical=False)
    )


def _usage(**wanted: bool) -> x509.KeyUsage:
    kinds = ("digital_signature", "content_commitment", "key_encipherment", "data_encipherment", "key_agreement")
    kinds += ("key_cert_sign", "crl_sign", "encipher_only", "decipher_only")
    return x509.KeyUsage(**{kind: wanted.get(kind, False) for kind in kinds})


def _is_current(path: Path, names: list[str], authority: x509.Certificate, now: datetime) -> bool:
    """Whether the stored leaf is by this authority, for these names, and valid for RENEW_DAYS more."""
    try:
        leaf = x509.load_pem_x509_certificate(path.read_bytes())
        leaf.verify_directly_issued_by(authority)
        names_in_leaf = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except Exception:  # missing, cut off, of another authority: it is made anew, nobody else holds it
        return False
    covered = {str(one.value) for one in names_in_leaf}
    return covered == set(names) and leaf.not_valid_before_utc <= now < leaf.not_valid_after_utc - timedelta(
        days=RENEW_DAYS
    )


def _write(path: Path, certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey) -> None:
    """Write key and certificate into one private file, atomically."""
    pem, plain = serialization.Encoding.PEM, serialization.NoEncryption()
    content = key.private_bytes(pem, serialization.PrivateFormat.PKCS8, plain) + certificate.public_bytes(pem)
    temporary = path.with_suffix(f".{os.getpid()}")
    temporary.unlink(missing_ok=True)
    with os.fdopen(os.open(temporary, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(content)
    temporary.replace(path)


def _addresses() -> list[str]:
    """Addresses of this machine: that of the default route first, then those of each interface, where known."""
    addresses = []
    for target, family in UNROUTED:
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((target, 9))  # a datagram socket sends nothing by this
            addresses.append(probe.getsockname()[0])
    with suppress(OSError):
        addresses += [info[4][0] for info in socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM)]
    return [*addresses, *_interface_addresses()]


def _interface_addresses() -> list[str]:
    """The IPv4 address of each interface (Linux: netdevice(7), SIOCGIFADDR); [] on other systems."""
    try:
        import fcntl
    except ImportError:
        return []
    addresses = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, interface in socket.if_nameindex():
            with suppress(OSError):
                reply = fcntl.ioctl(probe, 0x8915, interface.encode().ljust(256, b"\0"))
                addresses.append(socket.inet_ntoa(reply[20:24]))
    return addresses


def _address(name: str):
    try:
        return ip_address(name)
    except ValueError:
        return None


def _is_in(name: str, networks: tuple[str, ...]) -> bool:
    address = _address(name)
    return address is not None and any(address in ip_network(one) for one in networks)


def now() -> datetime:
    return datetime.now(UTC).replace(microsecond=0)
