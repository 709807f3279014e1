"""`manage.py deleteshop`: the host deletes a shop with all that belongs to it."""

from django.core.management.base import BaseCommand, CommandError

from shop.base.database import writing
from shop.live.hub import publish_phones
from shop.models import Shop
from shop.security import audit_log


class Command(BaseCommand):
    help = "Take one shop away: its phones, its taps, all.  Without --shop, list the shops.  Make a backup before."

    def add_arguments(self, parser):
        parser.add_argument("--shop", help="the shop's id, as the list shows it")
        parser.add_argument("--yes", action="store_true", help="do not ask for the shop's name")

    def handle(self, *args, shop, yes, **options):
        if shop is None:
            for one in Shop.objects.order_by("made_ms"):
                phones = one.phones.filter(ended_ms=None).count()
                self.stdout.write(f"{one.pk}  {phones} phones  {one.seq} taps  {one.name}")
            return
        target = next((one for one in Shop.objects.all() if str(one.pk) == shop), None)
        if target is None:
            raise CommandError("No shop here has this id. Nothing was deleted.")
        if not yes and input(f"Type the name of the shop to delete it for good ({target.name}): ") != target.name:
            raise CommandError("That is not its name. Nothing was deleted.")
        with writing():
            Shop.objects.select_for_update().filter(pk=target.pk).first()
            publish_phones(target.pk)
            Shop.objects.filter(pk=target.pk).delete()
        audit_log.event("shop-deleted", shop=target.pk)
        self.stdout.write(
            f"Deleted {target.name}. Its phones keep what they hold, and are told that no shop here knows them."
        )
