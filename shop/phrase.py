"""The recovery phrase: on paper, away from the phones; typed on any phone it makes that phone a keeper."""

from django.contrib.auth.hashers import check_password, make_password
from django.db import IntegrityError, transaction

from . import signs
from .models import Phone, Shop

GROUP = 4
SIGNS = 32  # the first group says which shop, the other 28 signs are 131 bits by chance
MOST_WRONG = 10  # tries on one shop in ten minutes


def make(keeper: Phone) -> str:
    """A new phrase in groups, told once; the one before opens nothing more.  Kept: its first group and a slow hash."""
    while True:
        said = signs.drawn(SIGNS)
        kept = {"phrase_name": name_of(said), "phrase_hash": make_password(said[GROUP:], hasher="scrypt")}
        try:
            with transaction.atomic():
                Shop.objects.filter(pk=keeper.shop_id).update(**kept)
        except IntegrityError:
            continue  # another shop has this first group
        return signs.grouped(said, GROUP)


def name_of(said: str) -> str:
    """The group that says which shop a phrase is of; it is no secret."""
    return said[:GROUP]


def shop_of(said: str) -> Shop | None:
    """The shop that a phrase opens, or None."""
    shop = Shop.objects.filter(phrase_name=name_of(said)).first()
    return shop if shop and check_password(said[GROUP:], shop.phrase_hash) else None
