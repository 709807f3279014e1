"""What is set up once when Django starts: translations for the rules, the answer to their errors, the page."""

from django.apps import AppConfig
from django.utils.translation import gettext, ngettext

from .core.base import check, translate
from .web.bundles import BUNDLES


class Timers(AppConfig):
    name = "timers"

    def ready(self) -> None:
        from shop.security import errors
        from shop.shell import bundle  # they read models and settings, which are there only now

        translate.speak(gettext, ngettext)
        errors.STATUSES[check.Refused] = 400
        bundle.frontend.page, bundle.frontend.late = "timers/floor.html", "timers/rooms.html"
        bundle.frontend.bundles = BUNDLES
