"""The server's entry: Django as WSGI in a thread pool under one ASGI process, and the stream /live beside it."""

import os

from a2wsgi import WSGIMiddleware
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
wsgi = get_wsgi_application()
django = WSGIMiddleware(wsgi, workers=8)


def _live():
    from .hub import hub  # its models can be read only once Django is there
    from .live import Live

    return Live(hub)


live = _live()


async def application(scope, receive, send) -> None:
    streams = scope["type"] == "http" and scope["path"] == "/live"
    await (live if streams else django)(scope, receive, send)
