"""Displays: tokens that may read the floor and nothing else."""

import base64

from django.http import HttpRequest

from ..base.database import writing
from ..models import Display, Shop
from ..security import access
from ..security.errors import UnknownPhone


def displayed_shop(request: HttpRequest, now_ms: int) -> Shop:
    """The shop whose floor a request may read: by a display's bearer token, or as a phone; else UnknownPhone."""
    shop = _shop_of(access.bearer_token(request.headers.get("Authorization", "")), now_ms)
    return shop or access.phone_of(request, now_ms).shop


def subscribed_shop(request: HttpRequest, now_ms: int) -> Shop:
    """The same for a calendar app, which can give a display's token only as a password (HTTP Basic, any name)."""
    password = _password(request.headers.get("Authorization", ""))
    if password is None:
        return displayed_shop(request, now_ms)
    shop = _shop_of(password, now_ms)
    if shop is None:
        error = UnknownPhone()
        error.cause = "unknown-token"
        raise error
    return shop


def _shop_of(token: str, now_ms: int) -> Shop | None:
    """The shop of the display to which a token was given."""
    digest = access.digest(token)
    display = Display.objects.select_related("shop").filter(token_digest=digest, ended_ms=None).first()
    if display is None:
        return None
    if now_ms - display.seen_ms > access.SEEN_EVERY_MS:
        with writing():
            Display.objects.filter(pk=display.pk).update(seen_ms=now_ms)
    return display.shop


def _password(header: str) -> str | None:
    """The password of an Authorization header as RFC 7617 writes it; None where it is of another scheme."""
    scheme, _, pair = header.partition(" ")
    if scheme.lower() != "basic":
        return None
    try:
        return base64.b64decode(pair, validate=True).decode().partition(":")[2]
    except ValueError:
        return ""
