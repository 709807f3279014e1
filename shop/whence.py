"""Where a request comes from: the address that limits are counted by and that the security log says."""

import ipaddress

from django.conf import settings
from django.http import HttpRequest


def address_of(request: HttpRequest) -> str:
    """Where a request comes from, for counting: an IPv4 address, or the /64 of an IPv6 one, which is one household."""
    return _wide(seen_from(request))


def seen_from(request: HttpRequest) -> str:
    """The address that a request comes from, as the server or its own proxy saw it."""
    return _address(request.META.get("REMOTE_ADDR", ""), request.headers.get("X-Forwarded-For"))


def address_at(scope) -> str:
    """As `address_of`, for a request that is not Django's yet."""
    said = [value.decode("latin-1") for name, value in scope["headers"] if name == b"x-forwarded-for"]
    return _wide(_address((scope.get("client") or ("",))[0], said[-1] if said else None))


def _wide(said: str) -> str:
    return str(ipaddress.ip_network((said, 64), strict=False)) if ":" in said else said


def _address(peer: str, forwarded: str | None) -> str:
    said = peer
    if settings.BEHIND_PROXY and forwarded is not None:
        said = forwarded.rpartition(",")[2].strip()  # what our own proxy saw
    try:
        return str(ipaddress.ip_address(said))
    except ValueError:
        return "unknown"
