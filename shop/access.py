"""Whose phone is this, and what may it see: the one place that ties a request to a shop."""

import hashlib
import secrets
import zoneinfo

from django.conf import settings
from django.db import connection
from django.http import HttpRequest, HttpResponse, parse_cookie

from .models import Phone, Shop

COOKIE = "sandtime_phone"
COOKIE_AGE_S = 400 * 86_400  # the most a browser keeps; renewed at every sync
SEEN_EVERY_MS = 60_000
HEARD_EVERY_MS = 10_000
# Asked at every sync, and written out because Django takes several times as long to write it as the database to answer.
SEEN = "SELECT MAX(cursor) FROM shop_phone WHERE shop_id = %s AND ended_ms IS NULL AND id <> %s"

POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data: blob:; media-src 'self' blob:; "
    "font-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; "
    "form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)


class NoPhone(PermissionError):
    """The request comes from no phone of any shop, or from one that was ended."""


def content_policy(get_response):
    """Middleware: the strict content security policy, on every answer that runs something; a policy on a style sheet or
    a module would only be bytes."""

    def answer(request: HttpRequest) -> HttpResponse:
        response = get_response(request)
        if not request.path.startswith(settings.STATIC_URL):
            response.headers.setdefault("Content-Security-Policy", POLICY)
        return response

    return answer


def phone_of(request: HttpRequest, now_ms: int) -> Phone:
    """The phone behind a request, by bearer token or cookie; NoPhone when there is none."""
    return _known(_token(request), now_ms)


def phone_at(headers: dict[str, str], now_ms: int) -> Phone:
    """The same for a request that is not Django's: its headers by their names in lower case."""
    token = _bearer(headers.get("authorization", "")) or parse_cookie(headers.get("cookie", "")).get(COOKIE, "")
    return _known(token, now_ms)


def seen_by_others(phone: Phone, cursor: int, now_ms: int) -> int:
    """How far another phone of the shop has heard, once it is written how far this one says it has.

    A cursor goes back only to nothing (a phone that lost its memory), and is written now and then only: a sync must
    stay cheap.
    """
    moves = cursor > phone.cursor or cursor == 0 < phone.cursor
    if moves and now_ms - phone.seen_ms > HEARD_EVERY_MS:
        Phone.objects.filter(pk=phone.pk).update(cursor=cursor, seen_ms=now_ms)
    number = Phone._meta.pk.get_db_prep_value
    with connection.cursor() as asked:
        asked.execute(SEEN, [number(phone.shop_id, connection), number(phone.pk, connection)])
        return asked.fetchone()[0] or 0


def same_origin(request: HttpRequest) -> bool:
    """Whether a post may act with the cookie: a bearer token, or our own page (a sync must survive old CSRF tokens).

    A page of another site cannot set a header of its own without our leave, nor forge Origin and Sec-Fetch-Site.
    """
    if _bearer(request.headers.get("Authorization", "")):
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


def new_shop(name: str, zone: str, now_ms: int) -> Shop:
    return Shop.objects.create(name=name, zone=known_zone(zone), made_ms=now_ms)


def new_phone(shop: Shop, role: str, now_ms: int) -> tuple[Phone, str]:
    """A phone of a shop and its token, 256 random bits, which is told once and kept only as a digest."""
    token = secrets.token_urlsafe(32)
    phone = Phone.objects.create(shop=shop, role=role, token_digest=_digest(token), made_ms=now_ms, seen_ms=now_ms)
    return phone, token


def keep_token(request: HttpRequest, response: HttpResponse, token: str = "") -> HttpResponse:
    """Give the phone its token as a cookie that scripts cannot read, or renew the one it has."""
    token = token or request.COOKIES.get(COOKIE, "")
    if token:
        response.set_cookie(
            COOKIE, token, max_age=COOKIE_AGE_S, httponly=True, samesite="Lax", secure=request.is_secure()
        )
    return response


def known_zone(name: str) -> str:
    """An IANA zone name, or UTC where the name is none."""
    try:
        return zoneinfo.ZoneInfo(name).key
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        return "UTC"


def _known(token: str, now_ms: int) -> Phone:
    phone = Phone.objects.select_related("shop").filter(token_digest=_digest(token)).first() if token else None
    if phone is None or phone.ended_ms is not None:
        raise NoPhone
    if now_ms - phone.seen_ms > SEEN_EVERY_MS:
        Phone.objects.filter(pk=phone.pk).update(seen_ms=now_ms)
    return phone


def _token(request: HttpRequest) -> str:
    return _bearer(request.headers.get("Authorization", "")) or request.COOKIES.get(COOKIE, "")


def _bearer(said: str) -> str:
    scheme, _, token = said.partition(" ")
    return token if scheme.lower() == "bearer" else ""


def _digest(token: str) -> str:
    return hashlib.sha256(token.encode("utf-8", "replace")).hexdigest()
