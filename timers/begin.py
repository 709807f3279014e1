"""How a shop begins: its first phone, and a shelf and routes to start from."""

import os

from django.conf import settings

from shop import access
from shop.database import writing
from shop.models import Phone, Shop

from . import log, typical, ways
from .core.acts import new_id
from .core.tongue import t
from .models import Act


class SignupClosed(PermissionError):
    """This host lets nobody make a shop; who has been let into one may still join."""


class DoorClosed(PermissionError):
    """The one shop of this host lets a phone in by a code only."""


def begin_shop(zone: str, now_ms: int) -> tuple[Phone, str]:
    """A new phone and its token: keeper of a new shop, or one more phone of the open shop."""
    with writing():
        shop = access.open_shop()
        if shop and not shop.door_open and shop.phones.exists():
            raise DoorClosed
        if shop is None and not settings.SIGNUP:
            raise SignupClosed
        role = Phone.Role.PAINTER if shop and shop.phones.exists() else Phone.Role.KEEPER
        shop = shop or furnished_shop(t("My shop"), zone, now_ms)
        return access.new_phone(shop, role, now_ms)


def furnished_shop(name: str, zone: str, now_ms: int) -> Shop:
    """A shop with the typical shelf and routes, as acts of its log like any other, in the tongue that begins it."""
    shop = access.new_shop(name, zone, now_ms)
    verdicts = log.append(shop.pk, None, _furnishing(now_ms), now_ms)
    refused = [verdict for verdict in verdicts if verdict["verdict"] != log.KEPT]
    if refused:
        raise AssertionError(refused)
    return shop


def untouched(shop: Shop) -> bool:
    """Whether nothing was done in a shop since it was furnished, so that nothing is lost with it."""
    if settings.OPEN_SHOP or shop.phrase_hash or shop.phones.count() > 1:
        return False
    return not Act.objects.filter(shop=shop).exclude(heard_ms=shop.made_ms).exists()


def _furnishing(now_ms: int) -> list[dict]:
    written = [("product", "sheet_written", typical.told(doc)) for doc in typical.PRODUCTS]
    written += [("route", "route_written", ways.told(doc)) for doc in ways.ROUTES]
    return [
        {"id": new_id(now_ms, os.urandom(10)), "at": now_ms, "on": f"{what}:{doc['id']}", "kind": kind, "doc": doc}
        for what, kind, doc in written
    ]
