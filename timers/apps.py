"""What is set up once when Django starts: translations for the rules, the answer to their errors, the page."""

from django.apps import AppConfig
from django.utils.translation import gettext, ngettext

from .core.base import check, translate
from .defaults import bench_cards
from .web.bundles import BUNDLES


class Timers(AppConfig):
    name = "timers"

    def ready(self) -> None:
        from shop.security import errors
        from shop.shell import bundle  # they read models and settings, which are there only now

        translate.speak(gettext, ngettext)
        errors.STATUSES[check.Refused] = 400
        bundle.frontend.page = "timers/floor.html"
        bundle.frontend.late = {
            "rooms": bundle.Late("timers/rooms.html", bench_cards.names),
            "cards": bundle.Late("timers/cards.html", bench_cards.shown),
        }
        bundle.frontend.bundles = BUNDLES
