"""Displays that show the floor: made and ended by a keeper; the token of one reads /floor.json and nothing else."""

from django.http import HttpRequest
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from shop import security, whence
from shop.displays import new_display
from shop.errors import Forbidden
from shop.models import Phone
from shop.web import own_page_only, phone_json

from .core.acts import PHONE
from .core.check import Refused, text
from .core.tongue import later, t

MOST = 20  # displays of a shop


@require_GET
@never_cache
@phone_json
def displays(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """The displays of the shop that were not ended, and what they read."""
    return _held(request, phone)


@own_page_only
@phone_json
def make(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A new display; its token is told this once."""
    _keeper(phone)
    name = request.POST.get("name", "").strip()
    text(later("The name of the display"), name, 1, 60)
    if phone.shop.displays.filter(ended_ms=None).count() >= MOST:
        raise Refused(t("A shop has at most {n} displays. End one first. Nothing was saved.", n=MOST))
    display, token = new_display(phone.shop, name, at_ms)
    security.event("display-made", whence.client_address(request), phone, display=display.pk)
    return {"id": str(display.pk), "token": token, **_held(request, phone)}


@own_page_only
@phone_json
def end(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A keeper ends a display: its token opens nothing from now on."""
    _keeper(phone)
    said = request.POST.get("id", "")
    free = phone.shop.displays.filter(pk=said, ended_ms=None) if PHONE.match(said) else None
    if not free or not free.update(ended_ms=at_ms):
        raise Refused(t("This display is none of this shop. Nothing was saved."))
    security.event("display-ended", whence.client_address(request), phone, display=said)
    return _held(request, phone)


def _keeper(phone: Phone) -> None:
    if phone.role != Phone.Role.KEEPER:
        raise Forbidden(t("Only a keeper's phone makes and ends displays. Nothing was saved."), phone)


def _held(request: HttpRequest, phone: Phone) -> dict:
    rows = phone.shop.displays.filter(ended_ms=None).order_by("made_ms").values("id", "name", "seen_ms")
    return {
        "displays": [{**row, "id": str(row["id"])} for row in rows],
        "address": request.build_absolute_uri("/floor.json"),
    }
