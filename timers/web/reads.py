"""For other programs, to read only: alarms for a calendar, the shelf as a table, a mix, the step between two grits."""

from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.views.decorators.cache import cache_control
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET

from shop.models import Shop
from shop.phones.displays import subscribed_shop
from shop.security import access
from shop.security.errors import UnknownPhone
from shop.security.guards import now_ms
from shop.server import work_budget

from ..core.acts.envelope import ON
from ..core.base import check
from ..core.base.check import Refused
from ..core.base.translate import later, t
from ..core.bench import grit
from ..core.clock import air
from ..core.files import table
from ..log import reader
from . import alarm_feed, mix

BYTE_ORDER_MARK = "\ufeff"  # by which spreadsheets know UTF-8


def shop_of_phone(request: HttpRequest, at_ms: int) -> Shop:
    """The shop of a phone in any role; a display reads none of this but the alarms."""
    return access.phone_of(request, at_ms).shop


def _calendar_shop(request: HttpRequest, at_ms: int) -> Shop:
    """The shop whose alarms a request may read; a refusal makes the calendar app ask for a password."""
    try:
        return subscribed_shop(request, at_ms)
    except UnknownPhone as error:
        error.headers["WWW-Authenticate"] = 'Basic realm="Sandtime", charset="UTF-8"'
        raise


def read_only(whose: Callable[[HttpRequest, int], Shop]):
    """A view that reads: it gets the shop that a request may read and the moment.  Refusals are one plain sentence."""

    def decorator(view):
        @csrf_exempt
        @require_GET
        @cache_control(private=True, no_store=True)
        @wraps(view)
        def answered(request: HttpRequest) -> HttpResponse:
            at_ms = now_ms()
            try:
                shop = whose(request, at_ms)
            except UnknownPhone as error:
                raise error.reworded(t("This phone belongs to no shop here.")) from None
            try:
                with work_budget.metered_programs(shop) as work:
                    answer = view(request, shop, at_ms)
                    work["bytes"] = len(answer.content)
                    return answer
            except Refused as why:
                raise Refused(mix.unsaved(why)) from None

        return answered

    return decorator


@read_only(_calendar_shop)
def alarms(request: HttpRequest, shop: Shop, at_ms: int) -> HttpResponse:
    """All rings ahead of the floor, for a calendar that subscribes to them."""
    return HttpResponse(alarm_feed.text(shop, at_ms), content_type="text/calendar; charset=utf-8")


@read_only(shop_of_phone)
def shelf_csv(request: HttpRequest, shop: Shop, at_ms: int) -> HttpResponse:
    """The products on the shelf, as the phone takes them out for a spreadsheet."""
    text = BYTE_ORDER_MARK + table.to_csv(list(reader.products(shop).values()))
    return _file(text, "text/csv; charset=utf-8", "sandtime-shelf.csv")


@read_only(shop_of_phone)
def shelf_json(request: HttpRequest, shop: Shop, at_ms: int) -> HttpResponse:
    """The same as JSON."""
    text = table.to_json(list(reader.products(shop).values()))
    return _file(text, "application/json", "sandtime-shelf.json")


@read_only(shop_of_phone)
def mix_json(request: HttpRequest, shop: Shop, at_ms: int) -> HttpResponse:
    """A mix of one product: parts, coverage of an area, cups, solvent."""
    asked = request.GET
    on = f"product:{asked.get('product', '')}"
    doc = reader.product(shop, on) if ON.match(on) else None
    if doc is None:
        raise check.missing(later("The product"))
    state = reader.air_of(shop)
    moment = mix.Moment(at_ms, air.trace(state), air.last_read(state, at_ms))
    about = {"id": doc["id"], "name": doc["name"], "typical": bool(doc.get("typical"))}
    return JsonResponse({"product": about, **mix.answer(doc, asked, moment)})


@read_only(shop_of_phone)
def grits_json(request: HttpRequest, shop: Shop, at_ms: int) -> HttpResponse:
    """How big the step from one grit to the next is, and what to put between."""
    coarse, fine = (mix.figure(request.GET, name, 1, 10_000) for name in ("from_p", "to_p"))
    step = grit.step(coarse, fine)
    rungs = [] if step["ok"] or coarse >= fine else grit.between(coarse, fine)
    said = {"from_p": coarse, "to_p": fine, "ratio": step["ratio_pm"] / 1000, "ok": step["ok"]}
    return JsonResponse({**said, "between_p": rungs, "words": step["words"]})


def _file(text: str, kind: str, name: str) -> HttpResponse:
    named = {"Content-Disposition": f'attachment; filename="{name}"'}
    return HttpResponse(text.encode(), content_type=kind, headers=named)
