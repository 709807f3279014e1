"""What Django does once when it starts: the rules speak the tongue of each request."""

from django.apps import AppConfig
from django.utils.translation import gettext, ngettext

from .core import check, tongue


class Timers(AppConfig):
    name = "timers"

    def ready(self) -> None:
        from shop import errors  # reads models, which are there only now

        tongue.speak(gettext, ngettext)
        errors.STATUSES[check.Refused] = 400
