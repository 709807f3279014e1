"""The client address of a request, for rate limits and the security log."""

import ipaddress

from django.conf import settings
from django.http import HttpRequest


def rate_limit_address(request: HttpRequest) -> str:
    """The address that rate limits count by: an IPv4 address, or the /64 of an IPv6 one (one household)."""
    return _network_64(client_address(request))


def client_address(request: HttpRequest) -> str:
    """The client's address, as the server or its own proxy saw it; "unknown" where it is none."""
    return _resolve(request.META.get("REMOTE_ADDR", ""), request.headers.get("X-Forwarded-For"))


def scope_address(scope) -> str:
    """As `rate_limit_address`, for an ASGI scope."""
    forwarded = [value.decode("latin-1") for name, value in scope["headers"] if name == b"x-forwarded-for"]
    return _network_64(_resolve((scope.get("client") or ("",))[0], forwarded[-1] if forwarded else None))


def _network_64(address: str) -> str:
    return str(ipaddress.ip_network((address, 64), strict=False)) if ":" in address else address


def _resolve(peer: str, forwarded: str | None) -> str:
    address = peer
    if settings.BEHIND_PROXY and forwarded is not None:
        address = forwarded.rpartition(",")[2].strip()  # what our own proxy saw
    try:
        return str(ipaddress.ip_address(address))
    except ValueError:
        return "unknown"
