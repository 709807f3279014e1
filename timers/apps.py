"""Start-up: the rules in timers.core translate with Django's gettext, in the language of each request."""

from django.apps import AppConfig
from django.utils.translation import gettext, ngettext

from .core import tongue


class Timers(AppConfig):
    name = "timers"

    def ready(self) -> None:
        tongue.speak(gettext, ngettext)
