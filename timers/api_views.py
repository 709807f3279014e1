"""For other programs: the floor as JSON, what a thermometer says, and the description of it all."""

import hashlib
import json
import uuid
from functools import lru_cache

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST

from shop import access, security, whence
from shop.displays import shop_shown
from shop.models import Phone, Shop

from . import floor, outlook, readings
from . import sync as road
from .api_description import description
from .core.check import Refused
from .core.tongue import t
from .push_views import of_a_phone
from .views import now_ms, our_own, plain

SAID = ("name", "job", "state", "word", "step", "place", "say", "left", "note", "laid", "meant", "went", "caution")
CLOCK = ("from", "opens", "shuts")
LONGEST = 2_000  # bytes of one reading


@csrf_exempt
@require_GET
@cache_control(no_cache=True)
def openapi(request: HttpRequest) -> HttpResponse:
    """The description of the addresses below, OpenAPI 3.1."""
    return HttpResponse(_described(), content_type="application/json")


@csrf_exempt
@require_GET
@cache_control(private=True, no_store=True)
def floor_json(request: HttpRequest) -> HttpResponse:
    """The floor in words and clock times, in its order, for a display or a script; 304 while nothing on it changed."""
    at_ms = now_ms()
    try:
        shop = shop_shown(request, at_ms)
    except access.NoPhone:
        return plain(t("This phone belongs to no shop here."), 401)
    said = json.dumps(_shown(shop, at_ms), ensure_ascii=False).encode()
    tag = f'"{hashlib.sha256(said).hexdigest()[:32]}"'
    same = tag in (one.strip().removeprefix("W/") for one in request.headers.get("If-None-Match", "").split(","))
    answer = HttpResponse(status=304) if same else HttpResponse(said, content_type="application/json")
    answer.headers["ETag"] = tag
    return answer


@csrf_exempt
@require_POST
@never_cache
def reading(request: HttpRequest) -> HttpResponse:
    """A thermometer says how it is; it hears whether an act was made of it."""
    at_ms = now_ms()
    try:
        meter = access.thermometer_of(request, at_ms)
        if len(request.body) > LONGEST:
            return plain(t("A reading has at most {n} bytes. Nothing was saved.", n=LONGEST), 413)
        answer = readings.take(meter, _body(request), at_ms)
    except access.NoPhone:
        return plain(t(readings.UNKNOWN), 401)
    except access.TooSoon:
        answer = plain(t("One reading a second at the most. Nothing was saved."), 429)
        answer.headers["Retry-After"] = "1"
        return answer
    except Refused as why:
        return plain(str(why), 400)
    return JsonResponse(answer, status=201 if answer["kept"] else 200)


@require_GET
@never_cache
@of_a_phone
def thermometers(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """The thermometers of the shop, and where they say their readings."""
    return _held(request, phone)


@our_own
@of_a_phone
def thermometer_make(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A new thermometer; its token is told this once."""
    name = readings.named(phone, request.POST.get("name", ""))
    meter, token = access.new_thermometer(phone.shop, name, at_ms)
    security.told("thermometer-made", whence.seen_from(request), phone, thermometer=meter.pk)
    return {"id": str(meter.pk), "token": token, **_held(request, phone)}


@our_own
@of_a_phone
def thermometer_end(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """A keeper ends a thermometer."""
    readings.end(phone, request.POST.get("id", ""), at_ms)
    security.told("thermometer-ended", whence.seen_from(request), phone, thermometer=uuid.UUID(request.POST["id"]))
    return _held(request, phone)


def _held(request: HttpRequest, phone: Phone) -> dict:
    return {"thermometers": readings.listed(phone.shop), "address": request.build_absolute_uri("/readings")}


def _shown(shop: Shop, at_ms: int) -> dict:
    found = floor.floor(shop, at_ms)
    cards = []
    for card in found["cards"]:
        face, strip = card["face"], card["face"]["strip"]
        said = {key: face.get(key, "") for key in SAID} | {key: strip[key] for key in CLOCK}
        cards.append({"on": card["on"], **said, "ahead": card["ahead"]})
    about = {"id": str(shop.pk), "name": shop.name, "zone": shop.zone}
    return {"shop": about, "hands": found["hands"], "air": outlook.of_air(floor.air_of(shop), at_ms), "cards": cards}


def _body(request: HttpRequest) -> object:
    try:
        return road.read(request.body)
    except Refused as why:
        raise Refused(t('The body is not JSON such as {"temp_c": 18.5}. Nothing was saved.')) from why


@lru_cache(maxsize=1)
def _described() -> bytes:
    return json.dumps(description(), ensure_ascii=False).encode()
