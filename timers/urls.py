from django.urls import path

from . import views

urlpatterns = [
    path("", views.floor, name="floor"),
    path("begin", views.begin, name="begin"),
    path("clock", views.clock, name="clock"),
    path("sync", views.sync, name="sync"),
]
