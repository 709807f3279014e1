from django.urls import path

from . import api_views, join_views, push_views, read_views, views
from .displays import DISPLAYS, THERMOMETERS

displays, display_make, display_end = DISPLAYS.views()
thermometers, thermometer_make, thermometer_end = THERMOMETERS.views()

urlpatterns = [
    path("", views.floor, name="floor"),
    path("begin", views.begin, name="begin"),
    path("clock", views.clock, name="clock"),
    path("sync", views.sync, name="sync"),
    path("openapi.json", api_views.openapi, name="openapi"),
    path("floor.json", api_views.floor_json, name="floor-json"),
    path("alarms.ics", read_views.alarms, name="alarms-ics"),
    path("shelf.csv", read_views.shelf_csv, name="shelf-csv"),
    path("shelf.json", read_views.shelf_json, name="shelf-json"),
    path("mix.json", read_views.mix_json, name="mix-json"),
    path("grits.json", read_views.grits_json, name="grits-json"),
    path("readings", api_views.reading, name="readings"),
    path("thermometers", thermometers, name="thermometers"),
    path("thermometers/make", thermometer_make, name="thermometer-make"),
    path("thermometers/end", thermometer_end, name="thermometer-end"),
    path("displays", displays, name="displays"),
    path("displays/make", display_make, name="display-make"),
    path("displays/end", display_end, name="display-end"),
    path("push/key", push_views.key, name="push-key"),
    path("push/subscribe", push_views.subscribe, name="push-subscribe"),
    path("push/unsubscribe", push_views.unsubscribe, name="push-unsubscribe"),
    path("push/trial", push_views.trial, name="push-trial"),
    path("join", join_views.join, name="join"),
    path("join/look", join_views.look, name="join-look"),
    path("phones", join_views.roster, name="phones"),
    path("phones/code", join_views.code, name="phones-code"),
    path("phones/role", join_views.role, name="phones-role"),
    path("phones/end", join_views.end, name="phones-end"),
    path("phones/back", join_views.back, name="phones-back"),
    path("phones/door", join_views.door, name="phones-door"),
    path("phones/phrase", join_views.recovery, name="phones-phrase"),
]
