"""How one more phone joins a shop: by a link, by a typed code, or by the recovery phrase.

A code is good for one phone and five minutes.  The winner is found by one conditional update, so that of many phones
that use a code at once one is let in.  A phone that belongs to another shop is asked first, and the last keeper of a
shop with no recovery phrase cannot leave it.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.crypto import salted_hmac

from . import access, counting, phrase, signs, tries
from .database import writing
from .errors import BadRequest, RateLimited
from .models import Invite, Phone, Shop, Subscription
from .tongues import t

GOOD_MS = 300_000
KEPT_MS = 86_400_000  # an old code is remembered for a day, to say that it is old
# Nine signs of signs.ALPHABET (26 of them) are 26**9 = 5.4e12 codes.  A try hits with (codes open now) / 5.4e12.  In a
# day of 144 spans, N addresses have at most 144 * (300 + N) tries (tries.py).  With 100,000 addresses and 100 codes
# open at any time: 1.4e7 tries, one hit in 3,700 days.  Six signs (3.1e8) would be hit four times a day, and needed a
# lock for all.
CODE_SIGNS = 9
MOST_MADE = 30  # codes of one shop in ten minutes


class WrongCode(BadRequest):
    """A link, code or phrase is none, over or used."""

    cause = "wrong-code"


@dataclass(frozen=True)
class Way:
    """A way into a shop that was found good: by a keeper's code or link, or by the recovery phrase."""

    shop: Shop
    role: str
    opening: Invite | None = None


def make(shop: Shop, role: str, now_ms: int) -> tuple[str, str, int]:
    """A new way in: the link's secret, 256 random bits; the code to type; until when.  Told once, kept as digests."""
    if role not in Phone.Role.values:
        raise BadRequest(t("A phone is let in as keeper, painter or wall. Nothing was made."))
    if not counting.spend(f"made {shop.pk}", MOST_MADE, tries.SPAN_MS, now_ms):
        raise RateLimited(t("This shop has made many codes just now. Wait ten minutes."))
    Invite.objects.filter(until_ms__lt=now_ms - KEPT_MS).delete()
    while True:
        secret, code = access.new_secret(), signs.drawn(CODE_SIGNS)
        fields = {"shop": shop, "role": role, "secret_digest": access.digest(secret)}
        moments = {"made_ms": now_ms, "until_ms": now_ms + GOOD_MS}
        made, new = Invite.objects.get_or_create(code_digest=code_digest(code), defaults={**fields, **moments})
        if new:
            return secret, code, made.until_ms


def find(said: dict, address: str, asker: str, now_ms: int) -> Way:
    """The way in that a phone says it has: {"secret"} of a link, or {"typed"}, a code or the phrase.  WrongCode when it
    is none, over or used; wrong ones are counted by the address they come from."""
    kind, text = _read(said)
    spent = tries.spend(kind, text, address, now_ms)
    way = _by_phrase(text) if kind == "phrase" else _by_opening(opening_by(kind, text), kind, asker, now_ms)
    for key in spent:
        counting.give_back(key, tries.SPAN_MS, now_ms)
    return way


def opening_by(kind: str, text: str) -> Invite | None:
    """The row behind a link's secret or a typed code, whole and unaltered."""
    digest = {"secret_digest": access.digest(text)} if kind == "link" else {"code_digest": code_digest(text)}
    return Invite.objects.select_related("shop", "phone").filter(**digest).first()


def leaving(way: Way, held: Phone | None) -> tuple[str, str]:
    """What a phone must be asked, and why it cannot be let in, in words; each "" where there is nothing to say.
    `held` is the phone as the server knows it so far."""
    if held is None or held.shop_id == way.shop.pk or held.ended_ms is not None:
        return "", ""
    old, new = held.shop.name, way.shop.name
    last = held.role == Phone.Role.KEEPER and not keepers(held.shop).exclude(pk=held.pk).exists()
    if last and not held.shop.phrase_hash:
        return "", t(
            "This phone is the last keeper of “{old}”. Let another phone in as keeper there, or make the recovery "
            "phrase, before this one leaves. Nothing was changed.",
            old=old,
        )
    asks = t(
        "This phone belongs to “{old}”. It will show “{new}” instead. What was done stays in “{old}”.", old=old, new=new
    )
    only = t("Only its recovery phrase can open it again.")
    return f"{asks} {only if last else t('A new code from there brings this phone back.')}", ""


def join(
    way: Way, held: Phone | None, name: str, asker: str, now_ms: int, untouched: Callable[[Shop], bool], was=None
) -> tuple[Phone, str]:
    """Let a phone in: the phone, and its new token; an old one of it opens nothing more.

    A phone of this shop that was ended is let back in.  One that asks again with the number it drew itself, since the
    answer was lost on the way, gets its phone again.  A shop of its own in which nothing was done goes with it.
    `was` is the phone that it has proven to be, where its cookie is lost.
    """
    with writing():
        if way.opening and way.opening.used_ms is not None:
            return way.opening.phone, access.new_token(way.opening.phone)
        if held and held.shop_id == way.shop.pk:
            return _again(way, held, name, asker, now_ms)
        if was and was.shop_id == way.shop.pk and not held:
            return _returned(way, was, name, asker, now_ms)
        _claim(way, asker, now_ms)
        phone, token = access.new_phone(way.shop, way.role, now_ms, name)
        _came(way, phone)
        if held:
            _leave(way, held, phone, untouched, now_ms)
        return phone, token


def keepers(shop: Shop):
    """The keepers' phones that a shop has."""
    return shop.phones.filter(role=Phone.Role.KEEPER, ended_ms=None)


def code_digest(code: str) -> str:
    """A code is short: without the server's secret it cannot be found from what the database holds."""
    return salted_hmac("sandtime code", code, algorithm="sha256").hexdigest()


def _read(said: dict) -> tuple[str, str]:
    """What a phone says it has: ("link", secret), ("code", signs) or ("phrase", signs)."""
    if said.get("secret"):
        return "link", said["secret"]
    text = signs.read(said.get("typed", ""))
    if len(text) == CODE_SIGNS:
        return "code", text
    if len(text) == phrase.SIGNS:
        return "phrase", text
    raise WrongCode(
        t(
            "A code has nine signs and no 0, O, 1, I or L; a recovery phrase has {groups} groups. Look again.",
            groups=phrase.SIGNS // phrase.GROUP,
        )
    )


def _by_phrase(text: str) -> Way:
    shop = phrase.shop_of(text)
    if shop is None:
        raise WrongCode(t("No shop here has this recovery phrase. A keeper may have made a new one since."))
    return Way(shop, Phone.Role.KEEPER)


def _by_opening(opening: Invite | None, kind: str, asker: str, now_ms: int) -> Way:
    if opening is None:
        raise WrongCode(_not_given(kind))
    if opening.until_ms <= now_ms:
        raise WrongCode(_over(kind))
    mine = bool(asker) and opening.asker_digest == access.digest(asker) and opening.phone is not None
    if opening.used_ms is not None and not mine:
        raise WrongCode(_used(kind))
    return Way(opening.shop, opening.role, opening)


def _not_given(kind: str) -> str:
    link = t("No keeper has given this link. Look again, or ask for a new one.")
    return link if kind == "link" else t("No keeper has given this code. Look again, or ask for a new one.")


def _over(kind: str) -> str:
    link = t("This link is over: one is good for five minutes. Ask for a new one.")
    return link if kind == "link" else t("This code is over: one is good for five minutes. Ask for a new one.")


def _used(kind: str) -> str:
    link = t("Another phone has used this link. Ask for a new one.")
    return link if kind == "link" else t("Another phone has used this code. Ask for a new one.")


def _claim(way: Way, asker: str, now_ms: int) -> None:
    """Use up a code, if nobody has in the meantime."""
    if way.opening is None:
        return
    free = Invite.objects.filter(pk=way.opening.pk, used_ms=None, until_ms__gt=now_ms)
    if free.update(used_ms=now_ms, asker_digest=access.digest(asker) if asker else "") != 1:
        raise BadRequest(_used("code"))


def _came(way: Way, phone: Phone) -> None:
    if way.opening:
        Invite.objects.filter(pk=way.opening.pk).update(phone=phone)


def _again(way: Way, held: Phone, name: str, asker: str, now_ms: int) -> tuple[Phone, str]:
    """A phone of this shop, let back in, with another token; one that is in it is made keeper by the phrase, and needs
    no code."""
    if held.ended_ms is None and way.opening:
        words = t("This phone is in “{shop}” already. The code is still good for another.", shop=way.shop.name)
        raise BadRequest(words)
    _claim(way, asker, now_ms)
    held.role, held.ended_ms, held.name = way.role, None, name or held.name
    held.save(update_fields=["role", "ended_ms", "name"])
    _came(way, held)
    return held, access.new_token(held)


def _returned(way: Way, was: Phone, name: str, asker: str, now_ms: int) -> tuple[Phone, str]:
    """A phone that lost its cookie, with another token and the code's role; the last keeper stays one."""
    _claim(way, asker, now_ms)
    if was.ended_ms is not None or keepers(way.shop).exclude(pk=was.pk).exists():
        was.role = way.role
    was.ended_ms, was.name, token = None, name or was.name, access.new_token(was)
    was.save(update_fields=["role", "ended_ms", "name"])
    _came(way, was)
    return was, token


def _leave(way: Way, held: Phone, phone: Phone, untouched: Callable[[Shop], bool], now_ms: int) -> None:
    """The phone's place in the shop it leaves; under that shop's lock, so that no last keeper slips out."""
    old = Shop.objects.select_for_update().get(pk=held.shop_id)
    bare = untouched(old)
    _, why = ("", "") if bare else leaving(way, held)
    if why:
        raise BadRequest(why)
    Subscription.objects.filter(phone=held).update(phone=phone)
    Phone.objects.filter(pk=held.pk, ended_ms=None).update(ended_ms=now_ms)
    if bare:
        old.delete()
