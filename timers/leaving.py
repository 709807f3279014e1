"""What a phone that was ended leaves behind: the panels it had are nobody's again, so that they ring everywhere."""

import os

from shop.models import Phone

from . import floor, log
from .core.acts import new_id


def let_go(keeper: Phone, phone_id: str, now_ms: int) -> None:
    """Let go, in the keeper's name, of every panel on the floor that a phone has."""
    things = floor.on_the_floor(keeper.shop).filter(state__taken__by=phone_id).values_list("on", flat=True)
    said = {"at": now_ms, "kind": "panel_let_go", "who": str(keeper.pk)}
    acts = [{"id": new_id(now_ms, os.urandom(10)), "on": on, **said} for on in things]
    if acts:
        log.append(keeper.shop_id, keeper, acts, now_ms)
