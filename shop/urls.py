from django.urls import include, path

from . import health, offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("healthz", health.lives, name="healthz"),
    path("readyz", health.ready, name="readyz"),
    path("", include("timers.urls")),
]
