"""What is set up once when Django starts: translations for the rules, the answer to their errors, the page."""

from django.apps import AppConfig
from django.utils.translation import gettext, ngettext

from .bundles import BUNDLES
from .core import check, tongue


class Timers(AppConfig):
    name = "timers"

    def ready(self) -> None:
        from shop import errors, joined  # they read models and settings, which are there only now

        tongue.speak(gettext, ngettext)
        errors.STATUSES[check.Refused] = 400
        joined.frontend.page, joined.frontend.late = "timers/floor.html", "timers/rooms.html"
        joined.frontend.bundles = BUNDLES
