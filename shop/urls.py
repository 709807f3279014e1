from django.urls import include, path

from .live import sse
from .phones import views as phones
from .server import health
from .shell import offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("moved", sse.moved, name="moved"),
    path("healthz", health.alive, name="healthz"),
    path("readyz", health.ready, name="readyz"),
    path("phones/phrase", phones.recovery, name="phones-phrase"),
    path("", include("timers.web.urls")),
]
