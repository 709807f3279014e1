"""The server's entry: Django as WSGI in a few threads under one ASGI process, and the stream /live beside it."""

import os

from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
wsgi = get_wsgi_application()


def _sides():
    from django.conf import settings

    from .live.hub import hub
    from .live.sse import Live
    from .server.bridge import Bridge  # what they know of models can be read only once Django is there

    return Bridge(wsgi, settings.LIMITS), Live(hub)


django, live = _sides()


async def application(scope, receive, send) -> None:
    streams = scope["type"] == "http" and scope["path"] == "/live"
    await (live if streams else django)(scope, receive, send)
