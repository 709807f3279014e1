"""A shop, phones that its ringer reaches through a push service on loopback, and a clock that tests turn."""

import json
import random

from shop.models import Phone, Shop, Subscription
from shop.security import access
from tests.random_logs import logs
from tests.timers.log.test_log import kept, panel_of, putty_on
from timers.alarm import ringer
from timers.models import ThingState

NOW_MS = logs.NOW_MS


class Bell:
    """Any garage and its ringer."""

    def __init__(self, service, count: int = 2):
        self.service, self.now_ms, self.rnd = service, NOW_MS, random.Random(4)
        self.shop = Shop.objects.create(name="Any garage", zone="UTC", made_ms=NOW_MS)
        self.phones = [self.phone(f"/{n}") for n in range(count)]
        self.ringer = ringer.Ringer(lambda: self.now_ms)

    def phone(self, path: str, **wants) -> Subscription:
        phone, _ = access.new_phone(self.shop, Phone.Role.PAINTER, NOW_MS)
        fields = {"home": "https://clock.example.org/", "made_ms": NOW_MS, "wants": wants}
        return Subscription.objects.create(phone=phone, **self.service.keys(path), **fields)

    def door(self, name: str = "Left front door", ago_ms: int = 0) -> str:
        """A panel with a putty laid so long ago."""
        door = panel_of(self.rnd, name, ago_ms + 1)
        kept(self.shop, [door, putty_on(self.rnd, door, ago_ms)])
        return door["on"]

    def watched_door(self, name: str = "Left front door") -> tuple[str, int]:
        """A panel with putty that the ringer has looked at, and the moment when it rings."""
        on = self.door(name)
        self.at(NOW_MS)
        return on, self.opening(on)

    def at(self, now_ms: int) -> list[str]:
        """Ring at a moment and wait for all that is being sent; what the phones got: ["/PATH TITLE", ...], sorted."""
        self.now_ms, before = now_ms, len(self.service.came)
        self.ringer.turn()
        self.ringer.settle()
        return sorted(f"{path} {self.said(body)['title']}" for path, _, body in self.service.came[before:])

    def said(self, body: bytes) -> dict:
        return json.loads(self.service.opened(body))["notification"]

    def opening(self, on: str) -> int:
        """When a panel rings, as the ringer computed it at its last look."""
        return ThingState.objects.get(shop=self.shop, on=on).next_at_ms
