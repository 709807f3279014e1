"""Releases the panels of a phone that was ended, so that they ring on every phone again."""

import os

from shop.models import Phone

from ..core.acts.envelope import new_id
from . import reader, writer


def let_go(keeper: Phone, phone_id: str, now_ms: int) -> None:
    """Release, in the keeper's name, every panel on the floor that a phone has taken."""
    things = reader.on_the_floor(keeper.shop).filter(state__taken__by=phone_id).values_list("on", flat=True)
    fields = {"at": now_ms, "kind": "panel_let_go", "who": str(keeper.pk)}
    acts = [{"id": new_id(now_ms, os.urandom(10)), "on": on, **fields} for on in things]
    if acts:
        writer.append(keeper.shop_id, keeper, acts, now_ms)
