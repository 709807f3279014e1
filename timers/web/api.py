"""The API for other programs: the floor as JSON, readings of thermometers, and its OpenAPI description."""

import hashlib
import json
from functools import lru_cache

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.utils.cache import get_conditional_response
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST

from shop.models import Shop
from shop.phones.displays import displayed_shop
from shop.security import access
from shop.security.errors import TooLarge, UnknownPhone
from shop.security.guards import now_ms

from ..core.base.check import Refused
from ..core.base.translate import t
from ..log import outlook, reader, readings
from ..log.sync import parse_json
from .api_description import description

WORDS = ("name", "job", "state", "word", "step", "place", "say", "left", "then", "why", "note", "laid", "meant", "went")
WORDS += ("caution", "area", "waits")
OF_LANE = ("area", "waits", "state", "word", "step", "place", "say", "left", "then", "why", "note", "laid")
CLOCK = ("from", "opens", "shuts")
MOST_BYTES = 2_000  # of one reading


@csrf_exempt
@require_GET
@cache_control(no_cache=True)
def openapi(request: HttpRequest) -> HttpResponse:
    """The OpenAPI 3.1 description of the addresses below."""
    return HttpResponse(_description(), content_type="application/json")


@csrf_exempt
@require_GET
@cache_control(private=True, no_store=True)
def floor_json(request: HttpRequest) -> HttpResponse:
    """The floor in words and clock times, in its order, for a display or a script; 304 if it is as it was."""
    at_ms = now_ms()
    try:
        shop = displayed_shop(request, at_ms)
    except UnknownPhone as error:
        raise error.reworded(t("This phone belongs to no shop here.")) from None
    body = json.dumps(_floor(shop, at_ms), ensure_ascii=False).encode()
    tag = f'"{hashlib.sha256(body).hexdigest()[:32]}"'
    answer = HttpResponse(body, content_type="application/json", headers={"ETag": tag})
    return get_conditional_response(request, etag=tag, response=answer)


@csrf_exempt
@require_POST
@never_cache
def reading(request: HttpRequest) -> HttpResponse:
    """A reading of a thermometer; the answer says whether an act was made of it."""
    at_ms = now_ms()
    meter = access.thermometer_of(request, at_ms)
    if len(request.body) > MOST_BYTES:
        raise TooLarge(t("A reading has at most {n} bytes. Nothing was saved.", n=MOST_BYTES))
    answer = readings.take(meter, _body(request), at_ms)
    return JsonResponse(answer, status=201 if answer["kept"] else 200)


def _floor(shop: Shop, at_ms: int) -> dict:
    """{"shop", "hands", "air", "cards", "curing"} as templates/openapi.json describes it."""
    around = reader.surroundings(shop)
    shown = reader.floor(shop, at_ms, around)
    cards = {kind: [_card(one) for one in shown[kind]] for kind in ("cards", "curing")}
    about = {"id": str(shop.pk), "name": shop.name, "zone": shop.zone}
    return {"shop": about, "hands": shown["hands"], "air": outlook.of_air(around[0], at_ms), **cards}


def _card(card: dict) -> dict:
    lanes = [_part(one, OF_LANE) for one in card["face"].get("lanes", [])]
    return {"on": card["on"], **_part(card["face"], WORDS), "lanes": lanes, "ahead": card["ahead"]}


def _part(face: dict, keys: tuple) -> dict:
    return {key: face.get(key, "") for key in keys} | {key: face["strip"][key] for key in CLOCK}


def _body(request: HttpRequest) -> object:
    try:
        return parse_json(request.body)
    except Refused as why:
        raise Refused(t('The body is not JSON such as {"temp_c": 18.5}. Nothing was saved.')) from why


@lru_cache(maxsize=1)
def _description() -> bytes:
    return json.dumps(description(), ensure_ascii=False).encode()
