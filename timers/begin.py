"""How a shop begins: its first phone, and a shelf and routes to start from."""

from django.conf import settings
from django.utils import translation

from shop import access, counting
from shop.database import writing
from shop.errors import Forbidden, RateLimited
from shop.models import Phone, Shop

from . import furnishing, log
from .core.tongue import t
from .core.units import HOUR_MS, MINUTE_MS
from .models import Act


class SignupClosed(Forbidden):
    """This host lets nobody make a shop; phones may still join the shops there are."""

    cause = "begin-closed"

    def __init__(self):
        super().__init__(t("New shops cannot be made here. Ask a phone of your shop to let this one in."))


class DoorClosed(Forbidden):
    """The one shop of this host lets a phone in by a code only."""

    cause = "begin-closed"

    def __init__(self):
        super().__init__(t("The door of this shop is closed. Ask a keeper's phone for a code."))


def begin_shop(zone: str, address: str, now_ms: int) -> tuple[Phone, str]:
    """A new phone and its token: keeper of a new shop, or one more phone of the open shop.

    RateLimited where an address, or all of them together, have begun as often as the host allows.
    """
    if not (settings.SIGNUP or settings.OPEN_SHOP):
        raise SignupClosed
    _spend(address, now_ms)
    with writing():
        shop = access.open_shop()
        if shop and not shop.door_open and shop.phones.exists():
            raise DoorClosed
        if shop is None and not settings.SIGNUP:
            raise SignupClosed
        role = Phone.Role.PAINTER if shop and shop.phones.exists() else Phone.Role.KEEPER
        make = furnished_shop if settings.OPEN_SHOP else lean_shop
        shop = shop or make(t("My shop"), zone, now_ms)
        return access.new_phone(shop, role, now_ms)


def lean_shop(name: str, zone: str, now_ms: int) -> Shop:
    """A shop with the typical shelf and routes in the tongue that begins it: told to its phone, and in its log with the
    first act that is kept.  It may be forgotten while there is none."""
    locale = translation.get_language() or settings.LANGUAGE_CODE
    return access.new_shop(name, zone, now_ms, seed_locale=locale, seq=furnishing.count())


def furnished_shop(name: str, zone: str, now_ms: int) -> Shop:
    """The same with shelf and routes in its log at once: a host's own shop, which nobody forgets."""
    shop = lean_shop(name, zone, now_ms)
    log.furnish(shop.pk)
    shop.refresh_from_db()
    return shop


def untouched(shop: Shop) -> bool:
    """Whether nothing was done in a shop since it was furnished, so that nothing is lost with it."""
    if settings.OPEN_SHOP or shop.phrase_hash or shop.phones.count() > 1:
        return False
    return not Act.objects.filter(shop=shop).exclude(received_ms=shop.made_ms).exists()


def _spend(address: str, now_ms: int) -> None:
    words = t("Many phones have begun here just now. This one asks again by itself: its clocks run meanwhile.")
    limits = [(f"begun from {address}", settings.BEGINS_PER_ADDRESS, 10 * MINUTE_MS)]
    limits.append(("begun", settings.BEGINS_PER_HOUR, HOUR_MS))
    for key, most, span_ms in limits:
        if not counting.spend(key, most, span_ms, now_ms):
            raise RateLimited(words, cause="begin-too-often")
