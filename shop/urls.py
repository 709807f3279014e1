from django.urls import include, path

from . import health, live, offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("moved", live.moved, name="moved"),
    path("healthz", health.alive, name="healthz"),
    path("readyz", health.ready, name="readyz"),
    path("", include("timers.urls")),
]
