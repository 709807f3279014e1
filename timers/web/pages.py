"""The page, the sync endpoint, and what the other views share."""

import re

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.cache import get_conditional_response
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_safe

from shop.base import i18n
from shop.models import Phone
from shop.security import access, audit_log, client_address
from shop.security.errors import UserError
from shop.security.guards import now_ms, own_page_only, plain
from shop.server import work_budget
from shop.shell import offline

from ..core.base.check import Refused
from ..core.base.translate import t
from ..log.epoch import Heard
from ..log.sync import acts_of, exchange, marks_of, parse_json
from ..shops.sign_up import begin_shop

CURSOR = re.compile(r"-?[0-9]{1,40}\Z")


class OtherShop(UserError):
    """A page of a shop that its phone has left."""

    status = 409


@require_safe
@cache_control(no_cache=True)
def floor(request: HttpRequest) -> HttpResponse:
    """The shell of the page: the same for all of one locale, kept on the phone by the service worker."""
    with i18n.requested_locale(request):
        tag, shell = offline.shell_page()
        return get_conditional_response(request, etag=tag, response=HttpResponse(shell, headers={"ETag": tag}))


@csrf_exempt
@require_GET
@never_cache
def clock(request: HttpRequest) -> HttpResponse:
    """The server's time in ms since 1970 UTC."""
    return plain(str(now_ms()), 200)


@own_page_only
def begin(request: HttpRequest) -> HttpResponse:
    """Sign-up: the phone gets a shop of its own, or joins the one shop of an open host."""
    phone, token = begin_shop(request.POST.get("zone", ""), client_address.rate_limit_address(request), now_ms())
    audit_log.event("begun", client_address.client_address(request), phone, role=phone.role)
    answer = JsonResponse({"phone": str(phone.id), "shop": str(phone.shop_id)})
    return access.set_token_cookie(request, answer, token)


@own_page_only
def sync(request: HttpRequest) -> HttpResponse:
    """Acts in, verdicts and changed fragments out: HTML for our page, JSON for others."""
    phone = access.phone_of(request, now_ms())
    access.save_locale(phone)
    if request.POST.get("shop", "") not in ("", str(phone.shop_id)):
        raise OtherShop(t("This phone has joined another shop since. What it holds stays on it."))
    with work_budget.metered(phone) as work:
        answer = _synced(request, phone)
        work["bytes"] = len(answer.content)
        return answer


def _synced(request: HttpRequest, phone: Phone) -> HttpResponse:
    acts, heard, marks = _parsed(request)
    answer = exchange(phone, acts, heard, now_ms(), marks)
    answer |= {"shop": {"id": str(phone.shop_id), "name": phone.shop.name, "zone": phone.shop.zone}}
    answer |= {"phone": {"id": str(phone.id), "role": phone.role}, "phrase": bool(phone.shop.phrase_hash)}
    return access.set_token_cookie(request, _page(request, answer, phone) if request.htmx else JsonResponse(answer))


def _page(request: HttpRequest, answer: dict, phone: Phone) -> HttpResponse:
    """The answer as HTML for our own page: of each thing what the phone keeps, as JSON; the phone draws its cards."""
    for fragment in answer["fragments"]:
        fragment["kept"] = {key: fragment[key] for key in ("state", "acts", "seqs", "told_by") if key in fragment}
    keys = {"key": access.shop_key_for(phone), "sign": access.mark_key(phone)}
    return render(request, "timers/_answer.html", {**answer, **keys})


def _parsed(request: HttpRequest) -> tuple[list, Heard, dict]:
    """Acts, how far the phone has heard, and marks, from a form (our page) or a JSON body (others); Refused or
    TooManyActs if they are invalid."""
    if request.content_type == "application/json":
        body = parse_json(request.body)
        if not isinstance(body, dict):
            raise Refused(t("The body is not a JSON object with acts and cursor. Nothing was saved."))
        acts, marks = body.get("acts", []), body.get("marks")
    else:
        body = request.POST
        acts, marks = parse_json(body.get("acts") or "[]"), parse_json(body.get("marks") or "{}")
    acts = acts_of(acts)
    heard = Heard(_cursor(body.get("cursor", 0)), str(body.get("memory", "")), str(body.get("cursor_act", "")))
    return acts, heard, marks_of(marks)


def _cursor(value: object) -> int:
    """A sequence number from 0 to 2**62, larger and smaller ones brought inside; Refused if it is not a number."""
    if isinstance(value, bool) or not CURSOR.match(str(value)):
        raise Refused(t("The cursor is not a number. Nothing was saved."))
    return max(0, min(int(value), 2**62))
