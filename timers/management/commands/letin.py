"""`manage.py letin`: the host invites a phone into a shop whose keepers' phones and phrase are all lost."""

from django.core.management.base import BaseCommand, CommandError

from shop.models import Phone, Shop
from shop.phones import code_alphabet, joining
from shop.security.guards import now_ms
from timers.management import preflight


class Command(BaseCommand):
    help = "Print a code by which one phone joins a shop within five minutes; without --shop, list the shops."

    def add_arguments(self, parser):
        parser.add_argument("--shop", help="the shop's id, as the list shows it")
        parser.add_argument("--role", choices=Phone.Role.values, default=Phone.Role.KEEPER)

    def handle(self, *args, shop, role, **options):
        preflight.needed()
        if shop is None:
            for one in Shop.objects.order_by("made_ms"):
                self.stdout.write(f"{one.pk}  {one.phones.filter(ended_ms=None).count()} phones  {one.name}")
            return
        target = next((one for one in Shop.objects.all() if str(one.pk) == shop), None)
        if target is None:
            raise CommandError("No shop here has this id. Nothing was made.")
        _, code, _ = joining.create_invite(target, role, now_ms())
        self.stdout.write(f"{code_alphabet.grouped(code, 3)}  lets one {role} into {target.name}, for five minutes")
