"""The roster of a shop, and what keepers may change in it; the last keeper stays one."""

import uuid

from ..base.database import writing
from ..base.i18n import t
from ..live.hub import publish_phones
from ..models import Phone, Shop, new_key
from ..security.errors import BadRequest, Forbidden
from .joining import keepers


def roster(shop: Shop) -> list[dict]:
    """The phones of a shop: active ones first, then by when they were last seen."""
    fields = ("id", "name", "role", "made_ms", "seen_ms", "ended_ms")
    rows = shop.phones.order_by("-seen_ms", "id").values(*fields)
    return sorted(({**row, "id": str(row["id"])} for row in rows), key=lambda row: row["ended_ms"] is not None)


def is_keeper(shop_id, phone_id: str) -> bool:
    """Whether a phone of a shop is a keeper's, and was not ended."""
    return Phone.objects.filter(pk=phone_id, shop=shop_id, role=Phone.Role.KEEPER, ended_ms=None).exists()


def naming_refusal() -> str:
    """Why a phone may not name the shop, in words."""
    return t("Only a keeper's phone names the shop. A keeper's phone can make this one a keeper's too.")


def set_role(keeper: Phone, phone_id: str, role: str) -> None:
    """Give a phone another role."""
    if role not in Phone.Role.values:
        raise BadRequest(t("A phone is keeper, painter or wall. Nothing was changed."))
    _update(keeper, phone_id, role=role)


def end(keeper: Phone, phone_id: str, now_ms: int) -> None:
    """End a phone: it can neither read nor write until it is let back in."""
    _update(keeper, phone_id, ended_ms=now_ms)


def set_door(keeper: Phone, is_open: bool) -> None:
    """Open or close the one shop of an open host to phones that have no code."""
    with writing():
        if not keepers(keeper.shop).filter(pk=keeper.pk).exists():
            raise Forbidden(t("This phone is no keeper any more. Nothing was changed."), keeper)
        Shop.objects.filter(pk=keeper.shop_id).update(door_open=is_open)


def let_back(keeper: Phone, phone_id: str) -> None:
    """Let an ended phone back in, with the token it has."""
    _update(keeper, phone_id, ended_ms=None)


def _update(keeper: Phone, phone_id: str, **fields) -> None:
    """Change a phone under the shop's lock, so that two keepers who end each other cannot both succeed."""
    with writing():
        shop = Shop.objects.select_for_update().get(pk=keeper.shop_id)
        if not keepers(shop).filter(pk=keeper.pk).exists():
            raise Forbidden(t("This phone is no keeper any more. Nothing was changed."), keeper)
        phone = shop.phones.filter(pk=_uuid(phone_id)).first()
        if phone is None:
            raise BadRequest(t("No such phone is in this shop. Nothing was changed."))
        for name, value in fields.items():
            setattr(phone, name, value)
        phone.save(update_fields=list(fields))
        if not keepers(shop).exists():
            words = t("This is the last keeper's phone. Make another one keeper first. Nothing was changed.")
            raise BadRequest(words)  # rolls the change back
        if fields.get("ended_ms") and not shop.demo:  # else it could rejoin by dropping its cookie
            Shop.objects.filter(pk=shop.pk).update(door_open=False)
        if phone.ended_ms is not None or phone.role == Phone.Role.WALL:
            Shop.objects.filter(pk=shop.pk).update(key=new_key())  # its signatures are worthless from now on
        publish_phones(shop.pk)


def _uuid(text: str) -> uuid.UUID | None:
    try:
        return uuid.UUID(text)
    except ValueError:
        return None
