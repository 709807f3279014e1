"""Where only https is served: a page is sent there, all else that comes by plain http is refused in words.

A redirect would be followed by a gauge or a script that was given `http://`, and its token would go over the wire in
the clear, again and again, while all seems well.
"""

import re

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from . import security, whence

PAGES = {"/"}  # what a person types; the rest is asked by our own page or by programs
WORDS = "Here only https is answered. Nothing was saved. If a token was sent along, end it and make another one."


def refused(get_response):
    """Middleware, before the one that sends everything to https."""

    def answer(request: HttpRequest) -> HttpResponse:
        if not settings.SECURE_SSL_REDIRECT or request.is_secure() or _exempt(request.path):
            return get_response(request)
        told = "Authorization" in request.headers
        if request.path in PAGES and request.method in ("GET", "HEAD") and not told:
            return get_response(request)
        if told:
            security.refused("plain-http", whence.seen_from(request))
        kind = "text/plain; charset=utf-8"
        carried = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}
        return HttpResponse(WORDS, status=403, content_type=kind, headers=carried)

    return answer


def refused_at(scope) -> bool:
    """The same for a request that is not Django's."""
    if not settings.SECURE_SSL_REDIRECT:
        return False
    said = [value.decode("latin-1") for name, value in scope["headers"] if name == b"x-forwarded-proto"]
    secure = scope["scheme"] == "https"
    if settings.BEHIND_PROXY and said:
        secure = said[-1].rpartition(",")[2].strip() == "https"  # what our own proxy saw
    return not secure


def _exempt(path: str) -> bool:
    return any(re.search(one, path.lstrip("/")) for one in settings.SECURE_REDIRECT_EXEMPT)
