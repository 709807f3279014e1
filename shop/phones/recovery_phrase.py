"""The recovery phrase: kept on paper, it makes any phone on which it is typed a keeper."""

from django.contrib.auth.hashers import check_password, make_password
from django.db import IntegrityError, transaction

from ..models import Phone, Shop
from . import code_alphabet

GROUP = 4
SIGNS = 32  # the first group says which shop, the other 28 signs are 131 bits by chance
MOST_WRONG = 10  # tries on one shop in ten minutes


def make(keeper: Phone) -> str:
    """A new phrase in groups; the previous one becomes invalid.  The first group and a slow hash are stored."""
    while True:
        code = code_alphabet.random_signs(SIGNS)
        fields = {"phrase_name": name_of(code), "phrase_hash": make_password(code[GROUP:], hasher="scrypt")}
        try:
            with transaction.atomic():
                Shop.objects.filter(pk=keeper.shop_id).update(**fields)
        except IntegrityError:
            continue  # another shop has this first group
        return code_alphabet.grouped(code, GROUP)


def name_of(code: str) -> str:
    """The first group, which identifies the shop; not secret."""
    return code[:GROUP]


def shop_of(code: str) -> Shop | None:
    """The shop that a phrase opens, or None."""
    shop = Shop.objects.filter(phrase_name=name_of(code)).first()
    return shop if shop and check_password(code[GROUP:], shop.phrase_hash) else None
