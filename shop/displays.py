"""Displays: tokens that may read the floor and nothing else."""

from django.http import HttpRequest

from . import access
from .database import writing
from .models import Display, Shop


def displayed_shop(request: HttpRequest, now_ms: int) -> Shop:
    """The shop whose floor a request may read: by a display's bearer token, or as a phone; else UnknownPhone."""
    token = access.digest(access.bearer_token(request.headers.get("Authorization", "")))
    display = Display.objects.select_related("shop").filter(token_digest=token, ended_ms=None).first()
    if display is None:
        return access.phone_of(request, now_ms).shop
    if now_ms - display.seen_ms > access.SEEN_EVERY_MS:
        with writing():
            Display.objects.filter(pk=display.pk).update(seen_ms=now_ms)
    return display.shop
