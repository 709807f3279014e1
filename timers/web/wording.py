"""Moments, temperatures and names of phones as a shop reads them."""

import re

from shop.models import Shop

from ..core.base import words
from ..core.base.translate import t
from ..log import reader

MINUTE = re.compile(r"\d+:\d\d")


class Wording:
    """How one shop reads, at one moment."""

    def __init__(self, shop: Shop, at_ms: int):
        _, self.units, self.phones = reader.surroundings(shop)
        self.zone, self.at_ms = reader.zone_of(shop, self.units), at_ms

    def clock(self, moment_ms: int) -> str:
        return words.clock(moment_ms, self.at_ms, self.zone)

    def seconds(self, moment_ms: int) -> str:
        """A clock time with its seconds."""
        return MINUTE.sub(rf"\g<0>:{moment_ms // 1000 % 60:02d}", self.clock(moment_ms), count=1)

    def until(self, moment_ms: int) -> str:
        """When something ends, never late."""
        return words.shuts(moment_ms, self.at_ms, self.zone)

    def degrees(self, temp_dc: int) -> str:
        return words.degrees(temp_dc, self.units["temp"])

    def name_of(self, phone_id: str, first: str) -> str:
        """What people call a phone: as an act said it, else as it came in, with the person whose it is."""
        called = self.phones.get(phone_id, {})
        person = f", {called['person']}" if called.get("person") else ""
        return f"{called.get('name') or first or t('No name yet [[a phone]]')}{person}"
