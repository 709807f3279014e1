"""The server's entry: Django as WSGI in a thread pool under one ASGI process, ready for streams beside it."""

import os

from a2wsgi import WSGIMiddleware
from django.core.wsgi import get_wsgi_application

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
wsgi = get_wsgi_application()
application = WSGIMiddleware(wsgi, workers=8)
