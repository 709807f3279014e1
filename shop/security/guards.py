"""What views share: the time of a request, guards for posts, and views for phones."""

import time
from collections.abc import Callable
from functools import wraps

from django.http import HttpRequest, HttpResponse
from django.utils.cache import add_never_cache_headers
from django.views.decorators.csrf import csrf_exempt
from django.views.decorators.http import require_POST

from ..base import partials
from ..base.i18n import t
from ..models import Phone
from . import access
from .errors import Forbidden, UnknownPhone


def now_ms() -> int:
    """The server's time in ms since 1970 UTC."""
    return time.time_ns() // 1_000_000


def plain(text: str, status: int) -> HttpResponse:
    """An answer in plain text."""
    return HttpResponse(text, status=status, content_type="text/plain; charset=utf-8")


def own_page_only(view):
    """A view for posts of our own page, or with a bearer token; Forbidden for those of other sites."""

    @csrf_exempt
    @require_POST
    @wraps(view)
    def guarded(request: HttpRequest) -> HttpResponse:
        if not access.same_origin(request):
            raise Forbidden(t("This did not come from Sandtime's own page."), cause="cross-site")
        answer = view(request)
        add_never_cache_headers(answer)  # an answer may contain the shop's key, a code or the phrase
        return answer

    return guarded


def at_now(view):
    """A view that gets the time of the request, in ms since 1970 UTC."""

    @wraps(view)
    def timed(request: HttpRequest) -> HttpResponse:
        return view(request, now_ms())

    return timed


def phone_view(template: str, context: Callable[[HttpRequest, Phone, int, dict], dict]):
    """A view that gets the phone behind the request and the time, and returns what is answered: as JSON, or to our own
    page as the template with what `context` makes of request, phone, time and answer."""

    def guard(view):
        @wraps(view)
        def answered(request: HttpRequest) -> HttpResponse:
            at_ms = now_ms()
            try:
                phone = access.phone_of(request, at_ms)
                fields = view(request, phone, at_ms)
            except UnknownPhone as error:
                raise error.reworded(t("This phone belongs to no shop here.")) from None
            return partials.answer(request, fields, template, lambda: context(request, phone, at_ms, fields))

        return answered

    return guard
