from django.urls import path

from . import api, pages, phones, push, reads
from .devices import DISPLAYS, THERMOMETERS

displays, display_make, display_end = DISPLAYS.views()
thermometers, thermometer_make, thermometer_end = THERMOMETERS.views()

urlpatterns = [
    path("", pages.floor, name="floor"),
    path("begin", pages.begin, name="begin"),
    path("clock", pages.clock, name="clock"),
    path("sync", pages.sync, name="sync"),
    path("openapi.json", api.openapi, name="openapi"),
    path("floor.json", api.floor_json, name="floor-json"),
    path("alarms.ics", reads.alarms, name="alarms-ics"),
    path("shelf.csv", reads.shelf_csv, name="shelf-csv"),
    path("shelf.json", reads.shelf_json, name="shelf-json"),
    path("mix.json", reads.mix_json, name="mix-json"),
    path("grits.json", reads.grits_json, name="grits-json"),
    path("readings", api.reading, name="readings"),
    path("thermometers", thermometers, name="thermometers"),
    path("thermometers/make", thermometer_make, name="thermometer-make"),
    path("thermometers/end", thermometer_end, name="thermometer-end"),
    path("displays", displays, name="displays"),
    path("displays/make", display_make, name="display-make"),
    path("displays/end", display_end, name="display-end"),
    path("push/key", push.key, name="push-key"),
    path("push/here", push.here, name="push-here"),
    path("push/subscribe", push.subscribe, name="push-subscribe"),
    path("push/unsubscribe", push.unsubscribe, name="push-unsubscribe"),
    path("push/trial", push.trial, name="push-trial"),
    path("join", phones.join, name="join"),
    path("join/look", phones.look, name="join-look"),
    path("phones", phones.roster, name="phones"),
    path("phones/code", phones.code, name="phones-code"),
    path("phones/came", phones.came, name="phones-came"),
    path("phones/role", phones.role, name="phones-role"),
    path("phones/end", phones.end, name="phones-end"),
    path("phones/back", phones.back, name="phones-back"),
    path("phones/door", phones.door, name="phones-door"),
]
