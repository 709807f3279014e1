"""How one more phone joins a shop: by a link, by a typed code, or by the recovery phrase.

A code is valid for one phone and five minutes.  One conditional update redeems it, so that of many phones that use it
at the same time one succeeds.  A phone of another shop has to confirm that it leaves, and the last keeper of a shop
without a recovery phrase cannot leave it.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.utils.crypto import salted_hmac

from ..base.database import writing
from ..base.i18n import t
from ..models import Invite, Phone, Shop, Subscription
from ..security import access, rate_limit
from ..security.errors import BadRequest, RateLimited
from . import attempts, code_alphabet, recovery_phrase

GOOD_MS = 300_000
KEPT_MS = 86_400_000  # expired codes stay for a day, so that the answer can say that they expired
# Nine signs of signs.ALPHABET (26 of them) give 26**9 = 5.4e12 codes.  A try hits with (codes open now) / 5.4e12.  In a
# day of 144 spans, N addresses have at most 144 * (300 + N) tries (attempts.py).  With 100,000 addresses and 100 codes
# open at any time: 1.4e7 tries, one hit in 3,700 days.  Six signs (3.1e8) would be hit four times a day, and needed a
# lock for all.
CODE_SIGNS = 9
MOST_MADE = 30  # codes of one shop in ten minutes


class WrongCode(BadRequest):
    """A link, code or phrase is unknown, expired or used."""

    cause = "wrong-code"


@dataclass(frozen=True)
class Admission:
    """A valid way into a shop and the role it gives: by an invite, or by the recovery phrase (no invite)."""

    shop: Shop
    role: str
    invite: Invite | None = None


def create_invite(shop: Shop, role: str, now_ms: int) -> tuple[str, str, int]:
    """A new invite: the link's secret (256 random bits), the code to type, and when they expire (ms since 1970 UTC).

    Both are returned once and stored as digests.  BadRequest for a role that is none, RateLimited for too many."""
    if role not in Phone.Role.values:
        raise BadRequest(t("A phone is let in as keeper, painter or wall. Nothing was made."))
    if not rate_limit.spend(f"made {shop.pk}", MOST_MADE, attempts.SPAN_MS, now_ms):
        raise RateLimited(t("This shop has made many codes just now. Wait ten minutes."))
    Invite.objects.filter(until_ms__lt=now_ms - KEPT_MS).delete()
    while True:
        secret, code = access.new_secret(), code_alphabet.random_signs(CODE_SIGNS)
        fields = {"shop": shop, "role": role, "secret_digest": access.digest(secret)}
        moments = {"made_ms": now_ms, "until_ms": now_ms + GOOD_MS}
        made, new = Invite.objects.get_or_create(code_digest=code_digest(code), defaults={**fields, **moments})
        if new:
            return secret, code, made.until_ms


def admission(fields: dict, address: str, asker: str, now_ms: int) -> Admission:
    """The shop and role that a phone's secret opens: {"secret"} of a link, or {"typed"}, a code or the phrase.

    WrongCode when it is unknown, expired or used, RateLimited after too many wrong ones from one address."""
    kind, text = _parse(fields)
    spent = attempts.spend(kind, text, address, now_ms)
    entry = _by_phrase(text) if kind == "phrase" else _by_invite(invite_with(kind, text), kind, asker, now_ms)
    for key in spent:
        rate_limit.give_back(key, attempts.SPAN_MS, now_ms)
    return entry


def invite_with(kind: str, text: str) -> Invite | None:
    """The invite with this secret or typed code; None where there is none."""
    digest = {"secret_digest": access.digest(text)} if kind == "link" else {"code_digest": code_digest(text)}
    return Invite.objects.select_related("shop", "phone").filter(**digest).first()


def leave_warnings(entry: Admission, phone: Phone | None) -> tuple[str, str]:
    """(what a phone has to confirm before it joins, why it cannot join), each "" where there is nothing to say.

    `phone` is the row that the request's cookie names, if any."""
    if phone is None or phone.shop_id == entry.shop.pk or phone.ended_ms is not None:
        return "", ""
    old, new = phone.shop.name, entry.shop.name
    last = phone.role == Phone.Role.KEEPER and not keepers(phone.shop).exclude(pk=phone.pk).exists()
    if last and not phone.shop.phrase_hash:
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
    entry: Admission,
    known: Phone | None,
    name: str,
    asker: str,
    now_ms: int,
    untouched: Callable[[Shop], bool],
    proven: Phone | None = None,
) -> tuple[Phone, str]:
    """Let a phone join: its row, and its new token; an older token of it becomes invalid.

    An ended phone of this shop is let back in.  One that repeats a request whose answer was lost (it sends the same
    random number, `asker`) gets its row again.  The shop that it leaves is deleted when `untouched` says that nothing
    was done in it.  `known` is the row that the cookie names, `proven` the one that a phone without its cookie proved
    to be by its key.
    """
    with writing():
        if entry.invite and entry.invite.used_ms is not None:
            return entry.invite.phone, access.new_token(entry.invite.phone)
        if known and known.shop_id == entry.shop.pk:
            return _rejoin(entry, known, name, asker, now_ms)
        if proven and proven.shop_id == entry.shop.pk and not known:
            return _restore(entry, proven, name, asker, now_ms)
        _claim(entry, asker, now_ms)
        phone, token = access.new_phone(entry.shop, entry.role, now_ms, name)
        _record_phone(entry, phone)
        if known:
            _leave(entry, known, phone, untouched, now_ms)
        return phone, token


def keepers(shop: Shop):
    """The keepers' phones that a shop has."""
    return shop.phones.filter(role=Phone.Role.KEEPER, ended_ms=None)


def code_digest(code: str) -> str:
    """Keyed with the server's secret: a code is short enough to be found by trial from a plain hash."""
    return salted_hmac("sandtime code", code, algorithm="sha256").hexdigest()


def _parse(fields: dict) -> tuple[str, str]:
    """("link", secret), ("code", signs) or ("phrase", signs); WrongCode for text that is neither."""
    if fields.get("secret"):
        return "link", fields["secret"]
    text = code_alphabet.parse(fields.get("typed", ""))
    if len(text) == CODE_SIGNS:
        return "code", text
    if len(text) == recovery_phrase.SIGNS:
        return "phrase", text
    raise WrongCode(
        t(
            "A code has nine signs and no 0, O, 1, I or L; a recovery phrase has {groups} groups. Look again.",
            groups=recovery_phrase.SIGNS // recovery_phrase.GROUP,
        )
    )


def _by_phrase(text: str) -> Admission:
    shop = recovery_phrase.shop_of(text)
    if shop is None:
        raise WrongCode(t("No shop here has this recovery phrase. A keeper may have made a new one since."))
    return Admission(shop, Phone.Role.KEEPER)


def _by_invite(invite: Invite | None, kind: str, asker: str, now_ms: int) -> Admission:
    if invite is None:
        raise WrongCode(_unknown_words(kind))
    if invite.until_ms <= now_ms:
        raise WrongCode(_expired_words(kind))
    mine = bool(asker) and invite.asker_digest == access.digest(asker) and invite.phone is not None
    if invite.used_ms is not None and not mine:
        raise WrongCode(_used_words(kind))
    return Admission(invite.shop, invite.role, invite)


def _unknown_words(kind: str) -> str:
    link = t("No keeper has given this link. Look again, or ask for a new one.")
    return link if kind == "link" else t("No keeper has given this code. Look again, or ask for a new one.")


def _expired_words(kind: str) -> str:
    link = t("This link is over: one is good for five minutes. Ask for a new one.")
    return link if kind == "link" else t("This code is over: one is good for five minutes. Ask for a new one.")


def _used_words(kind: str) -> str:
    link = t("Another phone has used this link. Ask for a new one.")
    return link if kind == "link" else t("Another phone has used this code. Ask for a new one.")


def _claim(entry: Admission, asker: str, now_ms: int) -> None:
    """Mark an invite as used; BadRequest when another phone was first."""
    if entry.invite is None:
        return
    free = Invite.objects.filter(pk=entry.invite.pk, used_ms=None, until_ms__gt=now_ms)
    if free.update(used_ms=now_ms, asker_digest=access.digest(asker) if asker else "") != 1:
        raise BadRequest(_used_words("code"))


def _record_phone(entry: Admission, phone: Phone) -> None:
    if entry.invite:
        Invite.objects.filter(pk=entry.invite.pk).update(phone=phone)


def _rejoin(entry: Admission, phone: Phone, name: str, asker: str, now_ms: int) -> tuple[Phone, str]:
    """A phone that is or was in this shop, with a new token: a code lets an ended one back in, and the phrase makes any
    of them a keeper."""
    if phone.ended_ms is None and entry.invite:
        words = t("This phone is in “{shop}” already. The code is still good for another.", shop=entry.shop.name)
        raise BadRequest(words)
    _claim(entry, asker, now_ms)
    phone.role, phone.ended_ms, phone.name = entry.role, None, name or phone.name
    phone.save(update_fields=["role", "ended_ms", "name"])
    _record_phone(entry, phone)
    return phone, access.new_token(phone)


def _restore(entry: Admission, phone: Phone, name: str, asker: str, now_ms: int) -> tuple[Phone, str]:
    """A phone that lost its cookie, with a new token and the invite's role; the last keeper stays a keeper."""
    _claim(entry, asker, now_ms)
    if phone.ended_ms is not None or keepers(entry.shop).exclude(pk=phone.pk).exists():
        phone.role = entry.role
    phone.ended_ms, phone.name, token = None, name or phone.name, access.new_token(phone)
    phone.save(update_fields=["role", "ended_ms", "name"])
    _record_phone(entry, phone)
    return phone, token


def _leave(entry: Admission, old_phone: Phone, phone: Phone, untouched: Callable[[Shop], bool], now_ms: int) -> None:
    """End the phone's row in the shop it leaves, under that shop's lock, so that the last keeper cannot leave."""
    old_shop = Shop.objects.select_for_update().get(pk=old_phone.shop_id)
    bare = untouched(old_shop)
    _, why = ("", "") if bare else leave_warnings(entry, old_phone)
    if why:
        raise BadRequest(why)
    Subscription.objects.filter(phone=old_phone).update(phone=phone)
    Phone.objects.filter(pk=old_phone.pk, ended_ms=None).update(ended_ms=now_ms)
    if bare:
        old_shop.delete()
