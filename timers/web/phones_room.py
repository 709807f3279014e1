"""What the room of the phones is drawn from: each phone in words, and what a keeper may do with it."""

from django.http import HttpRequest

from shop.base import partials
from shop.models import Invite, Phone
from shop.phones import code_alphabet
from shop.phones.views import recovery_context

from ..core.base.translate import later, t
from ..core.base.units import MINUTE_MS
from ..core.base.words import span
from .devices import DISPLAYS
from .wording import Wording

CODE_GROUP = 3
# What is said of each role: `is` in a row, `came` of who joined by a code, `takes` of a shop that was found, `for_one`
# of a code that waits, `mine` to the phone itself.
ROLES = {
    "keeper": {
        "is": later("keeper [[a phone is one]]"),
        "came": later("“{name}” is in, as keeper."),
        "takes": later("“{shop}” takes this phone in as a keeper's phone."),
        "for_one": later("For one phone, keeper."),
        "mine": later("This is a keeper's phone."),
    },
    "painter": {
        "is": later("painter [[a phone is one]]"),
        "came": later("“{name}” is in, as painter."),
        "takes": later("“{shop}” takes this phone in as a painter's phone."),
        "for_one": later("For one phone, painter."),
        "mine": later("This is a painter's phone. A keeper's phone lets others in."),
    },
    "wall": {
        "is": later("on the wall, looks only"),
        "came": later("“{name}” is in, on the wall: it only looks."),
        "takes": later("“{shop}” takes this phone in as a tablet on the wall, which may only look."),
        "for_one": later("For one phone, on the wall, looks only."),
        "mine": later("This phone is on the wall: it may only look. A keeper's phone can change that."),
    },
}


def room(request: HttpRequest, phone: Phone, fields: dict, at_ms: int) -> dict[str, object]:
    """The whole room for one phone, of the fields that its address answers; a keeper's holds the parts of keepers.

    The request says which phone's buttons are open, and whether it is asked if that phone shall be ended."""
    asked = request.POST if request.method == "POST" else request.GET
    wording, keeper = Wording(phone.shop, at_ms), fields["role"] == Phone.Role.KEEPER
    rows = [_row(one, wording, fields["here"], asked) for one in fields["phones"]]
    is_open = next((row["id"] for row in rows if row["open"]), "")
    sure = "yes" if any(row["sure"] for row in rows) else ""
    shown = {"mine": t(ROLES[fields["role"]]["mine"]), "keeper": keeper, "rows": rows, "open": is_open, "sure": sure}
    if not keeper:
        return shown
    displays = DISPLAYS.shown(request, phone, at_ms)
    return shown | {"door": fields["door"], "displays": displays, **recovery_context(request, phone.shop)}


def opening(request: HttpRequest, invite: Invite, secret: str, code: str, at_ms: int) -> dict[str, object]:
    """A code that waits for its phone: its picture, its signs, until when it is good."""
    address = partials.page_address(request)
    return {
        "invite": invite,
        "words": t(ROLES[invite.role]["for_one"]),
        "picture": partials.picture(f"{address}/#join={secret}"),
        "address": address,
        "code": code_alphabet.grouped(code, CODE_GROUP),
        "until": t("Good until {time}. [[a code]]", time=Wording(invite.shop, at_ms).until(invite.until_ms)),
    }


def outcome(invite: Invite | None, at_ms: int) -> str:
    """What became of a code, in words: who came in by it; "" while it waits."""
    if invite and invite.used_ms is not None and invite.phone:
        name = Wording(invite.shop, at_ms).name_of(str(invite.phone.pk), invite.phone.name)
        return t(ROLES[invite.phone.role]["came"], name=name)
    if invite and invite.until_ms > at_ms:
        return ""
    return t("The code is over: nobody came in by it. Make a new one.")


def found(request: HttpRequest, fields: dict, old: str) -> dict[str, object]:
    """A shop that takes a phone in, of the fields that looking at a code answers; `old` is the name of the shop that it
    leaves, "" where it leaves none."""
    shop = fields["name"]
    deed = t("Leave “{old}” and join “{shop}”", old=old, shop=shop) if old else t("Join “{shop}”", shop=shop)
    by = {name: request.POST.get(name, "") for name in ("secret", "typed")}
    return {**fields, **by, "takes": t(ROLES[fields["role"]]["takes"], shop=shop), "deed": deed}


def _row(one: dict, wording: Wording, here: str, asked: dict) -> dict[str, object]:
    name, ended = wording.name_of(one["id"], one["name"]), one["ended_ms"] is not None
    is_open = asked.get("open") == one["id"]
    ago = wording.at_ms - (one["ended_ms"] if ended else one["seen_ms"])
    return {
        "id": one["id"],
        "name": name,
        "own": one["role"],
        "role": t(ROLES[one["role"]]["is"]),
        "seen": _ended_words(ago) if ended else _seen_words(ago, one["id"] == here),
        "ended": ended,
        "open": is_open,
        "sure": is_open and not ended and asked.get("sure") == "yes",
    }


def _ended_words(ago_ms: int) -> str:
    if _is_now(ago_ms):
        return t("ended now [[a phone]]")
    return t("ended {span} ago [[a phone]]", span=span(ago_ms))


def _seen_words(ago_ms: int, here: bool) -> str:
    if here:
        return t("this phone, seen now") if _is_now(ago_ms) else t("this phone, seen {span} ago", span=span(ago_ms))
    return t("seen now [[a phone]]") if _is_now(ago_ms) else t("seen {span} ago [[a phone]]", span=span(ago_ms))


def _is_now(ago_ms: int) -> bool:
    return ago_ms < 2 * MINUTE_MS
