from django.urls import include, path

from .live import sse
from .server import health
from .shell import offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("moved", sse.moved, name="moved"),
    path("healthz", health.alive, name="healthz"),
    path("readyz", health.ready, name="readyz"),
    path("", include("timers.web.urls")),
]
