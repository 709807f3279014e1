from django.urls import path

from . import push_views, views

urlpatterns = [
    path("", views.floor, name="floor"),
    path("begin", views.begin, name="begin"),
    path("clock", views.clock, name="clock"),
    path("sync", views.sync, name="sync"),
    path("push/key", push_views.key, name="push-key"),
    path("push/subscribe", push_views.subscribe, name="push-subscribe"),
    path("push/unsubscribe", push_views.unsubscribe, name="push-unsubscribe"),
    path("push/trial", push_views.trial, name="push-trial"),
]
