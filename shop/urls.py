from django.urls import include, path

from . import live, offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("moved", live.moved, name="moved"),
    path("", include("timers.urls")),
]
