"""Whose phone is this, and what may it see: the one place that ties a request to a shop."""

import hashlib
import secrets
from functools import cache

from django.conf import settings
from django.db.models import Manager
from django.http import HttpRequest, HttpResponse, parse_cookie
from django.utils import translation
from django.utils.crypto import salted_hmac

from . import security, whence, zones
from .database import ask, writing
from .errors import EndedPhone, Forbidden, RateLimited, UnknownPhone, UserError
from .models import Device, Phone, Shop, Thermometer
from .tongues import t

COOKIE = "sandtime_phone"
COOKIE_AGE_S = 400 * 86_400  # the most a browser keeps; renewed at every sync
SEEN_EVERY_MS = 60_000
READ_EVERY_MS = 1_000  # a thermometer is heard once a second at the most
HEARD_EVERY_MS = 10_000


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
        return _known(token, now_ms)
    except UnknownPhone as why:
        if token:  # a phone that begins has none
            security.refused("ended-phone" if why.phone else "unknown-token", whence.seen_from(request), why.phone)
        raise


def phone_at(headers: dict[str, str], now_ms: int) -> Phone:
    """The same for a request that is not Django's: its headers by their names in lower case."""
    token = bearer_of(headers.get("authorization", "")) or parse_cookie(headers.get("cookie", "")).get(COOKIE, "")
    return _known(token, now_ms)


def heard(phone: Phone, cursor: int, now_ms: int) -> None:
    """Write how far a phone says it has heard.

    A cursor goes back only to nothing (a phone that lost its memory), and is written now and then only: a sync must
    stay cheap.
    """
    moves = cursor > phone.cursor or cursor == 0 < phone.cursor
    if moves and now_ms - phone.seen_ms > HEARD_EVERY_MS:
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
    token = bearer_of(request.headers.get("Authorization", ""))
    found = Thermometer.objects.select_related("shop").filter(token_digest=digest(token), ended_ms=None)
    meter = found.first()
    if meter is None:
        raise UnknownThermometer
    free = Thermometer.objects.filter(pk=meter.pk).exclude(seen_ms__gt=now_ms - READ_EVERY_MS, seen_ms__lte=now_ms)
    if not free.update(seen_ms=now_ms):
        raise RateLimited(t("One reading a second at the most. Nothing was saved."), cause="", retry_after_s=1)
    return meter


def held_phone(request: HttpRequest) -> Phone | None:
    """The phone behind a request, one too that was ended; only joining may look at such a one."""
    return phone_by(_token(request))


def phone_by(token: str) -> Phone | None:
    """The phone to which a token was given, whole and unaltered."""
    found = ask(_of_a_token(), digest(token)) if token else None
    return _made(found[0]) if found else None


def keeper_of(request: HttpRequest, now_ms: int) -> Phone:
    """The keeper's phone behind a request; Forbidden when it is another's."""
    phone = phone_of(request, now_ms)
    if phone.role != Phone.Role.KEEPER:
        raise Forbidden(t("Only a keeper's phone can do that. Nothing was changed."), phone)
    return phone


def bar(phone: Phone | None) -> str:
    """Why the taps of a phone are not taken, in words; "" when they are."""
    if phone is None or phone.role != Phone.Role.WALL:
        return ""
    return t("This phone is on the wall: it may only look. A keeper's phone can change that.")


def same_origin(request: HttpRequest) -> bool:
    """Whether a post may act with the cookie: a bearer token, or our own page (a sync must survive old CSRF tokens).

    A page of another site cannot set a header of its own without our leave, nor forge Origin and Sec-Fetch-Site.
    """
    if bearer_of(request.headers.get("Authorization", "")):
        return True
    if request.headers.get("Sec-Fetch-Site", "same-origin") not in ("same-origin", "none"):
        return False
    origin = request.headers.get("Origin")
    if origin and origin.partition("://")[2] != request.get_host():
        return False
    return bool(request.headers.get("HX-Request") or request.headers.get("X-Sandtime"))


def open_shop() -> Shop | None:
    """The one shop that any phone of this address joins, where the host has set that."""
    return Shop.objects.order_by("made_ms").first() if settings.OPEN_SHOP else None


def new_shop(name: str, zone: str, now_ms: int, **more) -> Shop:
    return Shop.objects.create(name=name, zone=zones.known(zone), made_ms=now_ms, **more)


def new_phone(shop: Shop, role: str, now_ms: int, name: str = "") -> tuple[Phone, str]:
    """A phone of a shop and its token, which is told once and kept only as a digest."""
    token = new_secret()
    fields = {"shop": shop, "role": role, "name": name, "token_digest": digest(token)}
    return Phone.objects.create(**fields, made_ms=now_ms, seen_ms=now_ms), token


def new_secret() -> str:
    """256 random bits, as text for a cookie or an address."""
    return secrets.token_urlsafe(32)


def new_token(phone: Phone) -> str:
    """Another token for a phone; the one it had, or never got, opens nothing more."""
    token = new_secret()
    Phone.objects.filter(pk=phone.pk).update(token_digest=digest(token))
    return token


def new_device(devices: Manager, name: str, now_ms: int) -> tuple[Device, str]:
    """One more of a shop's devices (`shop.thermometers`, `shop.displays`) and its token, shown once: only its digest is
    stored."""
    token = new_secret()
    return devices.create(name=name, token_digest=digest(token), made_ms=now_ms), token


def key_for(phone: Phone) -> str:
    """The shop's key, for a phone that may act: what it signs, the others take.  A wall tablet only looks on."""
    return "" if phone.role == Phone.Role.WALL else phone.shop.key


def sign_of(phone: Phone) -> str:
    """The key, in hex, that one phone alone marks its acts with; told to nobody else.  It is not kept but reckoned from
    the server's secret, so no backup holds it.  A wall makes no acts."""
    if phone.role == Phone.Role.WALL:
        return ""
    return salted_hmac("sandtime mark", str(phone.pk), algorithm="sha256").hexdigest()


def keep_token(request: HttpRequest, response: HttpResponse, token: str = "") -> HttpResponse:
    """Give the phone its token as a cookie that scripts cannot read, or renew the one it has."""
    token = token or request.COOKIES.get(COOKIE, "")
    if token:
        response.set_cookie(
            COOKIE, token, max_age=COOKIE_AGE_S, httponly=True, samesite="Lax", secure=request.is_secure()
        )
    return response


def digest(token: str) -> str:
    """What is kept of a token or secret of 256 random bits: nobody can go back from it."""
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()


def bearer_of(said: str) -> str:
    """The token in an Authorization header; "" where there is none."""
    scheme, _, token = said.partition(" ")
    return token if scheme.lower() == "bearer" else ""


def _known(token: str, now_ms: int) -> Phone:
    phone = phone_by(token)
    if phone is None:
        raise UnknownPhone
    if phone.ended_ms is not None:
        raise EndedPhone(phone)
    if now_ms - phone.seen_ms > SEEN_EVERY_MS:
        with writing():
            Phone.objects.filter(pk=phone.pk).update(seen_ms=now_ms)
    return phone


@cache
def _of_a_token() -> str:
    """The question for a phone and its shop, asked by every request: Django takes several times as long to write it as
    the database to answer it, so it writes it once."""
    return Phone.objects.select_related("shop").filter(token_digest="").query.sql_with_params()[0]


def _made(row: tuple) -> Phone:
    """A phone and its shop from a row of that question."""
    phone, shop = Phone._meta.concrete_fields, Shop._meta.concrete_fields
    values = [field.to_python(value) for field, value in zip((*phone, *shop), row, strict=True)]
    found = Phone.from_db("default", [field.attname for field in phone], values[: len(phone)])
    found.shop = Shop.from_db("default", [field.attname for field in shop], values[len(phone) :])
    return found


def _token(request: HttpRequest) -> str:
    return bearer_of(request.headers.get("Authorization", "")) or request.COOKIES.get(COOKIE, "")
