from django.urls import include, path

from . import offline

urlpatterns = [
    path("sw.js", offline.worker, name="worker"),
    path("app.webmanifest", offline.manifest, name="manifest"),
    path("", include("timers.urls")),
]
