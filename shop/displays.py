"""Whose floor a display may read: by a token that opens nothing else."""

from django.http import HttpRequest

from . import access
from .database import writing
from .models import Display, Shop


def shop_shown(request: HttpRequest, now_ms: int) -> Shop:
    """The shop whose floor a request may read: a display's, by bearer token only, or a phone's; UnknownPhone when it is
    neither's."""
    token = access.digest(access.bearer_of(request.headers.get("Authorization", "")))
    display = Display.objects.select_related("shop").filter(token_digest=token, ended_ms=None).first()
    if display is None:
        return access.phone_of(request, now_ms).shop
    if now_ms - display.seen_ms > access.SEEN_EVERY_MS:
        with writing():
            Display.objects.filter(pk=display.pk).update(seen_ms=now_ms)
    return display.shop
