"""Sign-up: a new shop with its first phone and default products and routes."""

from django.conf import settings
from django.utils import translation

from shop.base.database import writing
from shop.models import Phone, Shop
from shop.security import access, rate_limit
from shop.security.errors import Forbidden, RateLimited

from ..core.base.translate import t
from ..core.base.units import HOUR_MS, MINUTE_MS
from ..defaults import initial_acts
from ..log import writer
from ..models import Act


class SignupClosed(Forbidden):
    """This host makes no new shops; phones may still join one by a code."""

    cause = "begin-closed"

    def __init__(self):
        super().__init__(t("New shops cannot be made here. Ask a phone of your shop to let this one in."))


class DoorClosed(Forbidden):
    """The one shop of this host admits phones by a code only."""

    cause = "begin-closed"

    def __init__(self):
        super().__init__(t("The door of this shop is closed. Ask a keeper's phone for a code."))


def begin_shop(zone: str, address: str, now_ms: int) -> tuple[Phone, str]:
    """A new phone and its token: keeper of a new shop, or one more phone of the open shop.

    `zone` is an IANA time zone.  SignupClosed or DoorClosed if the host or its one shop admits nobody, RateLimited if
    this address, or all together, signed up as often as the host allows.
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
    """A new shop with the default products and routes in the language of this request.  Its phone is sent them at once;
    they enter the log with the first act that is kept.  Until then the shop may be forgotten."""
    locale = translation.get_language() or settings.LANGUAGE_CODE
    return access.new_shop(name, zone, now_ms, seed_locale=locale, seq=initial_acts.count())


def furnished_shop(name: str, zone: str, now_ms: int) -> Shop:
    """The same with products and routes in its log at once: a host's own shop, which is never forgotten."""
    shop = lean_shop(name, zone, now_ms)
    writer.furnish(shop.pk)
    shop.refresh_from_db()
    return shop


def untouched(shop: Shop) -> bool:
    """Whether nothing was done in a shop since it began, so that nothing is lost with it."""
    if settings.OPEN_SHOP or shop.phrase_hash or shop.phones.count() > 1:
        return False
    return not Act.objects.filter(shop=shop).exclude(received_ms=shop.made_ms).exists()


def _spend(address: str, now_ms: int) -> None:
    """Count this sign-up; RateLimited if that is one too many."""
    words = t("Many phones have begun here just now. This one asks again by itself: its clocks run meanwhile.")
    limits = [(f"begun from {address}", settings.BEGINS_PER_ADDRESS, 10 * MINUTE_MS)]
    limits.append(("begun", settings.BEGINS_PER_HOUR, HOUR_MS))
    for key, most, span_ms in limits:
        if not rate_limit.spend(key, most, span_ms, now_ms):
            raise RateLimited(words, cause="begin-too-often")
