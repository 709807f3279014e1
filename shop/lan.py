"""A shop box speaks https on its own network: an authority of its own, and a certificate for the addresses it has.

The authority may vouch for private networks and .local names only, so that a phone that trusts it is open to nothing
else.  Each is one file of key and certificate, so that the two can never be of different makings.
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
HERE = ("127.0.0.0/8", "::1/128")
NAMES = ("local", "localhost")
HERE_TOO = ("127.0.0.1", "::1")
ANY = ("0.0.0.0", "::")  # every address of the machine, of one family
AUTHORITY_DAYS = 3650
LEAF_DAYS = 397  # at most 825: Apple support article 103769, "Requirements for trusted certificates"
RENEW_DAYS = 30
EARLIER = timedelta(days=1)  # for phones whose clock is slow
NOWHERE = (("192.0.2.1", socket.AF_INET), ("2001:db8::1", socket.AF_INET6))  # RFC 5737, RFC 3849: nobody is asked


class CertificateError(ValueError):
    """A file of the authority is there and cannot be read; it is not written over, since phones trust it."""


@dataclass(frozen=True)
class Files:
    """What https needs: the leaf (key and certificate), the authority's certificate as a phone takes it."""

    leaf: Path
    authority: bytes  # DER
    made: bool  # whether the leaf was made anew
    fingerprint: str  # SHA-256 of the authority, as phones show it


def ready(folder: Path, names: list[str], now: datetime) -> Files:
    """The certificates for these names, made where they are missing, are for other names or soon end."""
    folder.mkdir(parents=True, exist_ok=True)
    authority, key = _authority(folder / "authority.pem", now)
    path = folder / "leaf.pem"
    made = not _serves(path, names, authority, now)
    if made:
        _keep(path, *_leaf(names, authority, key, now))
    der = authority.public_bytes(serialization.Encoding.DER)
    return Files(path, der, made, authority.fingerprint(hashes.SHA256()).hex(":").upper())


def names(host: str = ANY[0]) -> list[str]:
    """What this machine is called where it listens, the likeliest for a phone first: its addresses on private networks,
    NAME.local, and here.  One that listens at `host` only is called that."""
    label = "".join(sign for sign in socket.gethostname().partition(".")[0].lower() if sign.isalnum() or sign == "-")
    local = [f"{label}.local"] if label and label != "localhost" else []
    if host not in ANY:
        return list(dict.fromkeys([host, *local]))
    heard = [one for one in (*_addresses(), *HERE_TOO) if (":" in one) == (":" in host)]
    private = [one for one in heard if _is_in(one, PRIVATE)]
    return list(dict.fromkeys([*private, *local, "localhost", *(one for one in heard if one in HERE_TOO)]))


def is_ours(name: str) -> bool:
    """Whether the authority may vouch for a name or an address."""
    if (address := _address(name)) is not None:
        return _is_in(str(address), PRIVATE + HERE)
    return name == "localhost" or name.endswith(".local")


def in_address(name: str) -> str:
    """A name as it stands in an address: an IPv6 address in brackets."""
    return f"[{name}]" if ":" in name else name


def _authority(path: Path, now: datetime) -> tuple[x509.Certificate, ec.EllipticCurvePrivateKey]:
    """The one that is kept, or a new one where there is none or the last leaf would outlive it."""
    if path.exists():
        try:
            said = path.read_bytes()
            kept = x509.load_pem_x509_certificate(said), serialization.load_pem_private_key(said, None)
        except ValueError as why:
            raise CertificateError(
                f"{path} cannot be read. Put it back, or take it away and install a new one on each phone."
            ) from why
        if kept[0].not_valid_after_utc - now > timedelta(days=LEAF_DAYS):
            return kept
    key = ec.generate_private_key(ec.SECP256R1())
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, f"Sandtime on {socket.gethostname()}"[:64])])
    allowed = [x509.DNSName(one) for one in NAMES] + [x509.IPAddress(ip_network(one)) for one in PRIVATE + HERE]
    made = (
        _begun(name, name, key.public_key(), now, AUTHORITY_DAYS)
        .add_extension(x509.BasicConstraints(ca=True, path_length=0), critical=True)
        .add_extension(_usage(key_cert_sign=True, crl_sign=True), critical=True)
        .add_extension(x509.NameConstraints(allowed, None), critical=True)
        .sign(key, hashes.SHA256())
    )
    _keep(path, made, key)
    return made, key


def _leaf(names: list[str], authority: x509.Certificate, authority_key, now: datetime) -> tuple:
    key = ec.generate_private_key(ec.SECP256R1())
    said = [x509.DNSName(one) if _address(one) is None else x509.IPAddress(_address(one)) for one in names]
    by = authority.extensions.get_extension_for_class(x509.SubjectKeyIdentifier).value
    name = x509.Name([x509.NameAttribute(NameOID.COMMON_NAME, "Sandtime shop box")])
    made = (
        _begun(name, authority.subject, key.public_key(), now, LEAF_DAYS)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(_usage(digital_signature=True), critical=True)
        .add_extension(x509.ExtendedKeyUsage([ExtendedKeyUsageOID.SERVER_AUTH]), critical=False)
        .add_extension(x509.SubjectAlternativeName(said), critical=False)
        .add_extension(x509.AuthorityKeyIdentifier.from_issuer_subject_key_identifier(by), critical=False)
        .sign(authority_key, hashes.SHA256())
    )
    return made, key


def _begun(subject: x509.Name, issuer: x509.Name, public_key, now: datetime, days: int) -> x509.CertificateBuilder:
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


def _serves(path: Path, names: list[str], authority: x509.Certificate, now: datetime) -> bool:
    """Whether the kept leaf is by this authority, for these names, and good for a month yet."""
    try:
        leaf = x509.load_pem_x509_certificate(path.read_bytes())
        leaf.verify_directly_issued_by(authority)
        said = leaf.extensions.get_extension_for_class(x509.SubjectAlternativeName).value
    except Exception:  # missing, cut off, of another authority: it is made anew, nobody else holds it
        return False
    held = {str(one.value) for one in said}
    return held == set(names) and leaf.not_valid_before_utc <= now < leaf.not_valid_after_utc - timedelta(
        days=RENEW_DAYS
    )


def _keep(path: Path, certificate: x509.Certificate, key: ec.EllipticCurvePrivateKey) -> None:
    """Key and certificate in one file for our own eyes, whole at once."""
    pem, plain = serialization.Encoding.PEM, serialization.NoEncryption()
    said = key.private_bytes(pem, serialization.PrivateFormat.PKCS8, plain) + certificate.public_bytes(pem)
    fresh = path.with_suffix(f".{os.getpid()}")
    fresh.unlink(missing_ok=True)
    with os.fdopen(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "wb") as file:
        file.write(said)
    fresh.replace(path)


def _addresses() -> list[str]:
    """Addresses of this machine: the one by which it would leave first, then those of each interface, where told."""
    found = []
    for nowhere, family in NOWHERE:
        with suppress(OSError), socket.socket(family, socket.SOCK_DGRAM) as probe:
            probe.connect((nowhere, 9))  # a datagram socket sends nothing by this
            found.append(probe.getsockname()[0])
    with suppress(OSError):
        found += [told[4][0] for told in socket.getaddrinfo(socket.gethostname(), None, type=socket.SOCK_STREAM)]
    return [*found, *_of_interfaces()]


def _of_interfaces() -> list[str]:
    """The IPv4 address of each interface, where the system tells (Linux: netdevice(7), SIOCGIFADDR)."""
    try:
        import fcntl
    except ImportError:
        return []
    found = []
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as probe:
        for _, interface in socket.if_nameindex():
            with suppress(OSError):
                told = fcntl.ioctl(probe, 0x8915, interface.encode().ljust(256, b"\0"))
                found.append(socket.inet_ntoa(told[20:24]))
    return found


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
