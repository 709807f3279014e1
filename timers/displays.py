"""Displays that show the floor: made and ended by a keeper; the token of one reads /floor.json and the floor's
alarms in /alarms.ics, and nothing else."""

from django.http import HttpRequest
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from shop import security, whence
from shop.access import NotAllowed
from shop.displays import new_display
from shop.models import Phone

from .core.acts import PHONE
from .core.check import Refused, text
from .core.tongue import t
from .push_views import of_a_phone
from .views import our_own

MOST = 20  # displays of a shop


@require_GET
@never_cache
@of_a_phone
def displays(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """The displays of the shop that were not ended, and what they read."""
    return _held(request, phone)


@our_own
@of_a_phone
def make(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A new display; its token is told this once."""
    _keeper(phone)
    name = request.POST.get("name", "").strip()
    text(t("The name of the display"), name, 1, 60)
    if phone.shop.displays.filter(ended_ms=None).count() >= MOST:
        raise Refused(t("A shop has at most {n} displays. End one first. Nothing was saved.", n=MOST))
    display, token = new_display(phone.shop, name, at_ms)
    security.told("display-made", whence.seen_from(request), phone, display=display.pk)
    return {"id": str(display.pk), "token": token, **_held(request, phone)}


@our_own
@of_a_phone
def end(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A keeper ends a display: its token opens nothing from now on."""
    _keeper(phone)
    said = request.POST.get("id", "")
    free = phone.shop.displays.filter(pk=said, ended_ms=None) if PHONE.match(said) else None
    if not free or not free.update(ended_ms=at_ms):
        raise Refused(t("This display is none of this shop. Nothing was saved."))
    security.told("display-ended", whence.seen_from(request), phone, display=said)
    return _held(request, phone)


def _keeper(phone: Phone) -> None:
    if phone.role != Phone.Role.KEEPER:
        raise NotAllowed(t("Only a keeper's phone makes and ends displays. Nothing was saved."))


def _held(request: HttpRequest, phone: Phone) -> dict:
    rows = phone.shop.displays.filter(ended_ms=None).order_by("made_ms").values("id", "name", "seen_ms")
    return {
        "displays": [{**row, "id": str(row["id"])} for row in rows],
        "address": request.build_absolute_uri("/floor.json"),
    }
