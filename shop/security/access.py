"""Authentication: the one place that ties a request to a phone, a thermometer and their shop."""

import hashlib
import secrets
from functools import cache

from django.conf import settings
from django.db.models import Manager
from django.http import HttpRequest, HttpResponse, parse_cookie
from django.utils import translation
from django.utils.crypto import salted_hmac

from ..base import zones
from ..base.database import query, writing
from ..base.i18n import t
from ..models import Device, Phone, Shop, Thermometer
from . import audit_log, client_address
from .errors import EndedPhone, Forbidden, RateLimited, UnknownPhone, UserError

COOKIE = "sandtime_phone"
COOKIE_AGE_S = 400 * 86_400  # the most a browser keeps; renewed at every sync
SEEN_EVERY_MS = 60_000
READING_EVERY_MS = 1_000  # at most one reading a second
CURSOR_EVERY_MS = 10_000


class UnknownThermometer(UserError):
    """The request comes from no thermometer of any shop."""

    status = 401
    cause = "unknown-token"

    def __init__(self):
        super().__init__(t("This thermometer belongs to no shop here. Nothing was saved."))


def phone_of(request: HttpRequest, now_ms: int) -> Phone:
    """The phone behind a request, by bearer token or cookie; UnknownPhone when there is none."""
    token = _token(request)
    try:
        return _live_phone(token, now_ms)
    except UnknownPhone as error:
        if token:  # a phone that begins has none
            address = client_address.client_address(request)
            audit_log.refusal("ended-phone" if error.phone else "unknown-token", address, error.phone)
        raise


def phone_from_headers(headers: dict[str, str], now_ms: int) -> Phone:
    """The same for a request that is not Django's: its headers by their names in lower case."""
    token = bearer_token(headers.get("authorization", "")) or parse_cookie(headers.get("cookie", "")).get(COOKIE, "")
    return _live_phone(token, now_ms)


def save_cursor(phone: Phone, cursor: int, now_ms: int) -> None:
    """Store the cursor that a phone confirms.

    A cursor only goes back to 0 (a phone that lost its storage), and is written at most every CURSOR_EVERY_MS, to keep
    syncs cheap.
    """
    changed = cursor > phone.cursor or cursor == 0 < phone.cursor
    if changed and now_ms - phone.seen_ms > CURSOR_EVERY_MS:
        with writing():
            Phone.objects.filter(pk=phone.pk).update(cursor=cursor, seen_ms=now_ms)


def save_locale(phone: Phone) -> None:
    """Store the locale of this request where the phone has another: its alerts are written in it."""
    locale = translation.get_language() or settings.LANGUAGE_CODE
    if locale != phone.locale:
        with writing():
            Phone.objects.filter(pk=phone.pk).update(locale=locale)


def thermometer_of(request: HttpRequest, now_ms: int) -> Thermometer:
    """The thermometer behind a request, by bearer token only; UnknownThermometer when there is none, RateLimited
    when it posted less than a second ago: by one conditional update, so that of many requests at once one succeeds."""
    token = bearer_token(request.headers.get("Authorization", ""))
    matching = Thermometer.objects.select_related("shop").filter(token_digest=digest(token), ended_ms=None)
    meter = matching.first()
    if meter is None:
        raise UnknownThermometer
    due = Thermometer.objects.filter(pk=meter.pk).exclude(seen_ms__gt=now_ms - READING_EVERY_MS, seen_ms__lte=now_ms)
    if not due.update(seen_ms=now_ms):
        raise RateLimited(t("One reading a second at the most. Nothing was saved."), cause="", retry_after_s=1)
    return meter


def known_phone(request: HttpRequest) -> Phone | None:
    """The phone behind a request, ended or not; for joining only."""
    return phone_with_token(_token(request))


def phone_with_token(token: str) -> Phone | None:
    """The phone with this token, ended or not; None where there is none."""
    rows = query(_token_query(), digest(token)) if token else None
    return _phone_from_row(rows[0]) if rows else None


def keeper_of(request: HttpRequest, now_ms: int) -> Phone:
    """The keeper's phone behind a request; Forbidden when it is another's."""
    phone = phone_of(request, now_ms)
    if phone.role != Phone.Role.KEEPER:
        raise Forbidden(t("Only a keeper's phone can do that. Nothing was changed."), phone)
    return phone


def write_refusal(phone: Phone | None) -> str:
    """Why a phone may not write acts, in words; "" where it may."""
    if phone is None or phone.role != Phone.Role.WALL:
        return ""
    return t("This phone is on the wall: it may only look. A keeper's phone can change that.")


def same_origin(request: HttpRequest) -> bool:
    """Whether a post may act with the cookie: a bearer token, or our own page (a sync must survive old CSRF tokens).

    A page of another site cannot set a header of its own without our leave, nor forge Origin and Sec-Fetch-Site.
    """
    if bearer_token(request.headers.get("Authorization", "")):
        return True
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = request.headers.get("Origin")
    if origin and origin.partition("://")[2] != request.get_host():
        return False
    return bool(request.headers.get("HX-Request") or request.headers.get("X-Sandtime"))


def open_shop() -> Shop | None:
    """The one shop that every phone of this host joins, where SANDTIME_OPEN_SHOP is set; else None."""
    return Shop.objects.order_by("made_ms").first() if settings.OPEN_SHOP else None


def new_shop(name: str, zone: str, now_ms: int, **more) -> Shop:
    return Shop.objects.create(name=name, zone=zones.known(zone), made_ms=now_ms, **more)


def new_phone(shop: Shop, role: str, now_ms: int, name: str = "") -> tuple[Phone, str]:
    """A new phone of a shop, and its token, which is returned once and stored as a digest."""
    token = new_secret()
    fields = {"shop": shop, "role": role, "name": name, "token_digest": digest(token)}
    return Phone.objects.create(**fields, made_ms=now_ms, seen_ms=now_ms), token


def new_secret() -> str:
    """256 random bits, as text for a cookie or an address."""
    return secrets.token_urlsafe(32)


def new_token(phone: Phone) -> str:
    """A new token for a phone; the previous one becomes invalid."""
    token = new_secret()
    Phone.objects.filter(pk=phone.pk).update(token_digest=digest(token))
    return token


def new_device(devices: Manager, name: str, now_ms: int) -> tuple[Device, str]:
    """A new device (of `shop.thermometers` or `shop.displays`), and its token, which is returned once and stored as a
    digest."""
    token = new_secret()
    return devices.create(name=name, token_digest=digest(token), made_ms=now_ms), token


def shop_key_for(phone: Phone) -> str:
    """The shop's key for signing handovers; "" for a wall tablet, which makes no acts."""
    return "" if phone.role == Phone.Role.WALL else phone.shop.key


def mark_key(phone: Phone) -> str:
    """The key, in hex, that this phone alone signs its acts with; "" for a wall tablet, which makes none.

    Derived from the server's secret and not stored, so no backup contains it."""
    if phone.role == Phone.Role.WALL:
        return ""
    return salted_hmac("sandtime mark", str(phone.pk), algorithm="sha256").hexdigest()


def set_token_cookie(request: HttpRequest, response: HttpResponse, token: str = "") -> HttpResponse:
    """Set a new token as the phone's HttpOnly cookie, or renew the cookie it has."""
    token = token or request.COOKIES.get(COOKIE, "")
    if token:
        response.set_cookie(
            COOKIE, token, max_age=COOKIE_AGE_S, httponly=True, samesite="Lax", secure=request.is_secure()
        )
    return response


def digest(token: str) -> str:
    """The digest that is stored of a token or secret of 256 random bits."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def bearer_token(header: str) -> str:
    """The token in an Authorization header; "" where there is none."""
    scheme, _, token = header.partition(" ")
    return token if scheme.lower() == "bearer" else ""


def _live_phone(token: str, now_ms: int) -> Phone:
    phone = phone_with_token(token)
    if phone is None:
        raise UnknownPhone
    if phone.ended_ms is not None:
        raise EndedPhone(phone)
    if now_ms - phone.seen_ms > SEEN_EVERY_MS:
        with writing():
            Phone.objects.filter(pk=phone.pk).update(seen_ms=now_ms)
    return phone


@cache
def _token_query() -> str:
    """The SQL for a phone and its shop by token digest.  Every request runs it, and building it takes Django several
    times as long as the database takes to answer, so it is built once."""
    return Phone.objects.select_related("shop").filter(token_digest="").query.sql_with_params()[0]


def _phone_from_row(row: tuple) -> Phone:
    """A phone and its shop from a row of `_token_query`."""
    phone_fields, shop_fields = Phone._meta.concrete_fields, Shop._meta.concrete_fields
    values = [field.to_python(value) for field, value in zip((*phone_fields, *shop_fields), row, strict=True)]
    phone = Phone.from_db("default", [field.attname for field in phone_fields], values[: len(phone_fields)])
    phone.shop = Shop.from_db("default", [field.attname for field in shop_fields], values[len(phone_fields) :])
    return phone


def _token(request: HttpRequest) -> str:
    return bearer_token(request.headers.get("Authorization", "")) or request.COOKIES.get(COOKIE, "")
