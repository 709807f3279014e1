"""Whose floor a display may read: by a token that opens nothing else."""

import base64

from django.http import HttpRequest

from . import access, security, whence
from .database import writing
from .models import Display, Shop


def new_display(shop: Shop, name: str, now_ms: int) -> tuple[Display, str]:
    """A display of a shop and its token, which is told once and kept only as a digest."""
    token = access.new_secret()
    return shop.displays.create(name=name, token_digest=access.digest(token), made_ms=now_ms), token


def shop_shown(request: HttpRequest, now_ms: int) -> Shop:
    """The shop whose floor a request may read: a display's, by bearer token only, or a phone's; NoPhone when it is
    neither's."""
    shop = _shop_of(access.bearer_of(request.headers.get("Authorization", "")), now_ms)
    return shop or access.phone_of(request, now_ms).shop


def shop_subscribed(request: HttpRequest, now_ms: int) -> Shop:
    """The same for a calendar app, which can give a display's token only as a password (HTTP Basic, any name)."""
    password = _password(request.headers.get("Authorization", ""))
    if password is None:
        return shop_shown(request, now_ms)
    shop = _shop_of(password, now_ms)
    if shop is None:
        security.refused("unknown-token", whence.seen_from(request))
        raise access.NoPhone
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
