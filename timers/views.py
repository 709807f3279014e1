"""The page, the sync endpoint, and what the other views share."""

import re
import time
from functools import wraps

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.cache import add_never_cache_headers, get_conditional_response
from django.views.decorators.cache import cache_control, never_cache
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_GET, require_POST, require_safe

from shop import access, offline, pace, security, tongues, whence
from shop.errors import Forbidden, UserError
from shop.models import Phone

from .begin import begin_shop
from .core.check import Refused
from .core.tongue import t
from .memory import Heard
from .sync import acts_of, exchange, marks_of, parse_json

CURSOR = re.compile(r"-?[0-9]{1,40}\Z")


class OtherShop(UserError):
    """A page of a shop that its phone has left."""

    status = 409


def now_ms() -> int:
    """The time in ms since 1970 UTC."""
    return time.time_ns() // 1_000_000


def our_own(view):
    """A view for posts of our own page, or of a client with a token; posts from pages of other sites get 403."""

    @csrf_exempt
    @require_POST
    @wraps(view)
    def guarded(request: HttpRequest) -> HttpResponse:
        if not access.same_origin(request):
            raise Forbidden(t("This did not come from Sandtime's own page."), cause="cross-site")
        answer = view(request)
        add_never_cache_headers(answer)  # an answer may hold the shop's key, a code or the phrase
        return answer

    return guarded


@require_safe
@cache_control(no_cache=True)
def floor(request: HttpRequest) -> HttpResponse:
    """The shell of the page: the same for all of one locale, kept on the phone by the service worker."""
    with tongues.asked(request):
        tag, shell = offline.drawn()
        return get_conditional_response(request, etag=tag, response=HttpResponse(shell, headers={"ETag": tag}))


@csrf_exempt
@require_GET
@never_cache
def clock(request: HttpRequest) -> HttpResponse:
    """The server's time in ms since 1970 UTC."""
    return plain(str(now_ms()), 200)


@our_own
def begin(request: HttpRequest) -> HttpResponse:
    """Sign-up: the phone gets a shop of its own, or joins the one shop of an open host."""
    phone, token = begin_shop(request.POST.get("zone", ""), whence.address_of(request), now_ms())
    security.told("begun", whence.seen_from(request), phone, role=phone.role)
    answer = JsonResponse({"phone": str(phone.id), "shop": str(phone.shop_id)})
    return access.keep_token(request, answer, token)


@our_own
def sync(request: HttpRequest) -> HttpResponse:
    """Acts in, verdicts and changed fragments out: HTML for our page, JSON for others."""
    phone = access.phone_of(request, now_ms())
    access.save_locale(phone)
    if request.POST.get("shop", "") not in ("", str(phone.shop_id)):
        raise OtherShop(t("This phone has joined another shop since. What it holds stays on it."))
    with pace.spent(phone) as work:
        answer = _synced(request, phone)
        work["bytes"] = len(answer.content)
        return answer


def _synced(request: HttpRequest, phone: Phone) -> HttpResponse:
    acts, heard, marks = _parsed(request)
    answer = exchange(phone, acts, heard, now_ms(), bool(request.htmx), marks)
    answer |= {"shop": {"id": str(phone.shop_id), "name": phone.shop.name, "zone": phone.shop.zone}}
    answer |= {"phone": {"id": str(phone.id), "role": phone.role}, "phrase": bool(phone.shop.phrase_hash)}
    return access.keep_token(request, _page(request, answer, phone) if request.htmx else JsonResponse(answer))


def _page(request: HttpRequest, answer: dict, phone: Phone) -> HttpResponse:
    """The answer as HTML for our own page: of each thing what the phone keeps, as JSON, and its card."""
    for fragment in answer["fragments"]:
        fragment["kept"] = {key: fragment[key] for key in ("state", "acts", "seqs", "told_by") if key in fragment}
    keys = {"key": access.key_for(phone), "sign": access.sign_of(phone)}
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


def plain(words: str, status: int) -> HttpResponse:
    """An answer in one plain sentence."""
    return HttpResponse(words, status=status, content_type="text/plain; charset=utf-8")
