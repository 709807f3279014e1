"""Where only https is served: pages are redirected, everything else by plain http is refused with a text.

A gauge or script that was configured with `http://` would follow a redirect, and keep sending its token in the clear
while everything seems fine.
"""

import re

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from . import audit_log, client_address

PAGES = {"/"}  # what people type; the rest is requested by our page or by programs
WORDS = "Here only https is answered. Nothing was saved. If a token was sent along, end it and make another one."


def refuse_plain_http(get_response):
    """Middleware, before the one that redirects to https."""

    def answer(request: HttpRequest) -> HttpResponse:
        if not settings.SECURE_SSL_REDIRECT or request.is_secure() or _exempt(request.path):
            return get_response(request)
        has_token = "Authorization" in request.headers
        if request.path in PAGES and request.method in ("GET", "HEAD") and not has_token:
            return get_response(request)
        if has_token:
            audit_log.refusal("plain-http", client_address.client_address(request))
        content_type = "text/plain; charset=utf-8"
        more = {"Cache-Control": "no-store", "X-Content-Type-Options": "nosniff"}
        return HttpResponse(WORDS, status=403, content_type=content_type, headers=more)

    return answer


def is_plain_http(scope) -> bool:
    """Whether an ASGI request came by plain http where only https is served."""
    if not settings.SECURE_SSL_REDIRECT:
        return False
    protocols = [value.decode("latin-1") for name, value in scope["headers"] if name == b"x-forwarded-proto"]
    secure = scope["scheme"] == "https"
    if settings.BEHIND_PROXY and protocols:
        secure = protocols[-1].rpartition(",")[2].strip() == "https"  # what our own proxy saw
    return not secure


def _exempt(path: str) -> bool:
    return any(re.search(one, path.lstrip("/")) for one in settings.SECURE_REDIRECT_EXEMPT)
