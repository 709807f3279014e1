"""Views of the phones of a shop, and of joining it."""

import re
import uuid

from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import render
from django.utils.crypto import constant_time_compare
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from shop.base.partials import answer
from shop.models import Phone
from shop.phones import joining, roles
from shop.security import access, audit_log, client_address
from shop.security.errors import BadRequest
from shop.security.guards import at_now, own_page_only

from ..core.acts.people import PHONE
from ..core.acts.signature import signed
from ..core.base.check import text
from ..core.base.translate import later
from ..log.release import let_go
from ..shops.sign_up import untouched
from . import phones_room

LONGEST_NAME = 60
INVITE = re.compile(r"[0-9]{1,18}\Z")


@require_GET
@never_cache
@at_now
def roster(request: HttpRequest, at_ms: int) -> HttpResponse:
    """The phones of the asking phone's shop, and whether it has a recovery phrase."""
    return _room(request, access.phone_of(request, at_ms), at_ms)


@own_page_only
@at_now
def code(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper invites one more phone: {"secret" for the link, "code" to type, "until_ms", "now"}."""
    keeper, role = access.keeper_of(request, at_ms), request.POST.get("role", "")
    secret, typed, until_ms = joining.create_invite(keeper.shop, role, at_ms)
    audit_log.event("code-made", client_address.client_address(request), keeper, role=role)
    fields = {"secret": secret, "code": typed, "until_ms": until_ms, "now": at_ms}
    return answer(request, fields, "timers/partials/opening.html", lambda: _opening(request, secret, typed, at_ms))


@require_GET
@never_cache
@at_now
def came(request: HttpRequest, at_ms: int) -> HttpResponse:
    """Who came in by a code of the keeper's own shop, or that it is over: 204 while it waits."""
    number = request.GET.get("invite", "")
    invites = access.keeper_of(request, at_ms).shop.invites.select_related("shop", "phone")
    invite = invites.filter(pk=number).first() if INVITE.match(number) else None
    words = phones_room.outcome(invite, at_ms)
    if not words:
        return HttpResponse(status=204)
    shown = render(request, "timers/partials/came.html", {"words": words})
    shown.headers["HX-Trigger"] = "sandtime:came"
    return shown


@own_page_only
@at_now
def role(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper gives a phone another role."""
    keeper = access.keeper_of(request, at_ms)
    roles.set_role(keeper, request.POST.get("phone", ""), request.POST.get("role", ""))
    _log("role-changed", request, keeper, role=request.POST["role"])
    return _room(request, access.phone_of(request, at_ms), at_ms)


@own_page_only
@at_now
def end(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper ends a phone."""
    keeper = access.keeper_of(request, at_ms)
    roles.end(keeper, request.POST.get("phone", ""), at_ms)
    let_go(keeper, request.POST["phone"], at_ms)
    keeper.shop.refresh_from_db()  # its door may be closed by this
    _log("phone-ended", request, keeper)
    return _room(request, keeper, at_ms)


@own_page_only
@at_now
def door(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper opens or closes the one shop of an open host to phones that have no code."""
    roles.set_door(access.keeper_of(request, at_ms), request.POST.get("open") == "1")
    return _room(request, access.phone_of(request, at_ms), at_ms)


@own_page_only
@at_now
def back(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A keeper lets an ended phone back in."""
    keeper = access.keeper_of(request, at_ms)
    roles.let_back(keeper, request.POST.get("phone", ""))
    _log("phone-let-back", request, keeper)
    return _room(request, keeper, at_ms)


@own_page_only
@at_now
def look(request: HttpRequest, at_ms: int) -> HttpResponse:
    """What a code, a link or the phrase would do: which shop, which role, what this phone is asked before."""
    entry = _entry(request, at_ms)
    leaver = _leaver(request)
    asks, why = joining.leave_warnings(entry, leaver)
    fields = {"shop": str(entry.shop.pk), "name": entry.shop.name, "role": entry.role, "asks": asks, "why": why}
    fields |= {"leaves": str(leaver.shop_id) if asks else ""}
    old = leaver.shop.name if asks else ""
    return answer(request, fields, "timers/partials/found.html", lambda: phones_room.found(request, fields, old))


@own_page_only
@at_now
def join(request: HttpRequest, at_ms: int) -> HttpResponse:
    """A phone joins and gets a token as its cookie.  If it leaves another shop, it confirms that by that shop's id."""
    name = request.POST.get("name", "").strip()
    text(later("The phone's name"), name, 1, LONGEST_NAME)
    entry = _entry(request, at_ms)
    leaver = _leaver(request)
    asks, _ = joining.leave_warnings(entry, leaver)
    if asks and request.POST.get("leaves") != str(leaver.shop_id):
        raise BadRequest(asks)
    asker = request.POST.get("asker", "")
    current = access.known_phone(request)
    phone, token = joining.join(entry, current, name, asker, at_ms, untouched, _proven_phone(request, asker))
    by = "code" if entry.invite else "phrase"
    audit_log.event("joined", client_address.client_address(request), phone, role=phone.role, by=by)
    shop = {"shop": str(phone.shop_id), "name": phone.shop.name, "zone": phone.shop.zone}
    joined = JsonResponse({"phone": str(phone.pk), "role": phone.role, **shop})
    return access.set_token_cookie(request, joined, token)


def _entry(request: HttpRequest, at_ms: int) -> joining.Admission:
    fields = {name: request.POST.get(name, "") for name in ("secret", "typed")}
    return joining.admission(fields, client_address.rate_limit_address(request), request.POST.get("asker", ""), at_ms)


def _log(what: str, request: HttpRequest, keeper: Phone, **more: str) -> None:
    """Write into the security log what a keeper did with a phone of its shop."""
    audit_log.event(
        what, client_address.client_address(request), keeper, whose=uuid.UUID(request.POST["phone"]), **more
    )


def _proven_phone(request: HttpRequest, asker: str) -> Phone | None:
    """The phone that the asking one was before, None if it does not prove it: the proof is `asker`, the random number
    of this request, signed by that phone's own key."""
    phone_id, proof = request.POST.get("was", ""), request.POST.get("proof", "")
    if not asker or not PHONE.match(phone_id):
        return None
    phone = Phone.objects.filter(pk=phone_id).first()
    right = phone and signed(access.mark_key(phone) or "00", f"sandtime was 1\n{asker}")
    return phone if right and constant_time_compare(right, proof) and phone.role != Phone.Role.WALL else None


def _leaver(request: HttpRequest) -> Phone | None:
    """The phone of the request, None if nothing was done in its shop, so that nothing is lost if it leaves."""
    phone = access.known_phone(request)
    return None if phone and untouched(phone.shop) else phone


def _opening(request: HttpRequest, secret: str, code: str, at_ms: int) -> dict[str, object]:
    return phones_room.opening(request, joining.invite_with("link", secret), secret, code, at_ms)


def _room(request: HttpRequest, phone: Phone, at_ms: int) -> HttpResponse:
    """The phones of a phone's shop, whether it has a recovery phrase, and its door."""
    fields = {"phones": roles.roster(phone.shop), "here": str(phone.pk), "role": phone.role}
    opens = access.open_shop()
    door = {"open": opens.door_open} if opens and opens.pk == phone.shop_id else None  # other shops have no such door
    fields |= {"phrase": bool(phone.shop.phrase_hash), "door": door}
    return answer(
        request, fields, "timers/partials/phones.html", lambda: phones_room.room(request, phone, fields, at_ms)
    )
