"""Views of a phone's push subscription."""

import re

from cryptography.hazmat.primitives.asymmetric import ec
from django.conf import settings
from django.http import HttpRequest
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from shop.base.database import writing
from shop.models import Phone, Subscription
from shop.push import webpush, webpush_crypto
from shop.security import rate_limit
from shop.security.errors import RateLimited
from shop.security.guards import own_page_only, phone_view

from ..alarm import messages, ringer
from ..core.base.check import Refused
from ..core.base.translate import t, tn
from ..core.base.units import MINUTE_MS
from .wording import Wording

QUIET_HOURS = re.compile(r"([0-9]{1,4})-([0-9]{1,4})\Z")
DAY_MIN = 1440


def _shown(request: HttpRequest, phone: Phone, at_ms: int, fields: dict) -> dict:
    """How it stands with a phone's push, in words: `endpoint` of the request is what its browser holds."""
    here, there, wording = request.POST.get("endpoint", ""), fields["endpoint"], Wording(phone.shop, at_ms)
    is_on = bool(here) and here == there
    if not is_on:
        off = t("Off. With signal the server can ring this phone while Sandtime is closed and the phone is locked.")
        ended = t("It has ended, or never quite begun: the server cannot ring this phone. Turn it on again.")
        return {"words": ended if here or there else off, "key": webpush_crypto.public_key()}
    words = [t("On. It rings where there is signal, also with Sandtime closed")]
    if fields["last_ok_ms"]:
        last = wording.clock(fields["last_ok_ms"])
        words.append(t("The push service last took a message for it at {time}", time=last))
    if fields["fails"]:
        fails = fields["fails"]
        words.append(tn("The last message did not get through", "The last {n} messages did not get through", fails))
    return {"words": f"{'. '.join(words)}.", "is_on": True}


def _tried(request: HttpRequest, phone: Phone, at_ms: int, fields: dict) -> dict:
    return {"time": Wording(phone.shop, at_ms).seconds(fields["at_ms"])}


STATE = phone_view("timers/partials/push.html", _shown)


@require_GET
@never_cache
@STATE
def key(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """The server's public key to subscribe with, and the subscription of this phone."""
    return {"key": webpush_crypto.public_key(), **_subscription(phone)}


@own_page_only
@STATE
def here(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """How it stands with the push of this phone; where its browser holds what the server does, what rings here is
    stored anew."""
    chosen, held = _chosen(request), _subscription(phone)
    wants = _wants(**chosen) if chosen else held["wants"]
    if held["endpoint"] and held["endpoint"] == request.POST.get("endpoint") and held["wants"] != wants:
        with writing():
            Subscription.objects.filter(phone=phone, endpoint=held["endpoint"]).update(wants=wants)
    return _subscription(phone)


@own_page_only
@STATE
def subscribe(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """Store the subscription of this phone in the place of the one before; what it wants stays unless it says
    otherwise."""
    fields = {name: request.POST.get(name, "") for name in ("endpoint", "p256dh", "auth")}
    _check(fields)
    chosen = _chosen(request)
    wants = _wants(**chosen) if chosen else _subscription(phone)["wants"]  # absent when a browser changes the address
    home = request.build_absolute_uri("/")[:300]
    with writing():
        other = Subscription.objects.filter(endpoint=fields["endpoint"]).exclude(phone=phone).first()
        if other and other.auth != fields["auth"]:
            raise Refused(t("Another phone is told at this address. Nothing was saved."))
        Subscription.objects.filter(phone=phone).exclude(endpoint=fields["endpoint"]).delete()
        Subscription.objects.update_or_create(
            endpoint=fields["endpoint"],
            defaults={**fields, "phone": phone, "wants": wants, "home": home, "fails": 0},
            create_defaults={**fields, "phone": phone, "wants": wants, "home": home, "made_ms": at_ms},
        )
    return _subscription(phone)


@own_page_only
@STATE
def unsubscribe(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """Delete the subscription of this phone."""
    Subscription.objects.filter(phone=phone).delete()
    return _subscription(phone)


@own_page_only
@phone_view("timers/partials/tried.html", _tried)
def trial(request: HttpRequest, phone: Phone, at_ms: int) -> dict:
    """Ring this phone in half a minute."""
    subscription = phone.subscriptions.select_related("phone__shop").first()
    if subscription is None:
        raise Refused(t("The server has no leave to ring this phone. Turn push on first."))
    if not rate_limit.spend(f"trial {phone.pk}", settings.TRIALS_PER_PHONE, MINUTE_MS, at_ms):
        raise RateLimited(t("This phone was tried a moment ago. Wait a minute."))
    if not rate_limit.spend(f"trials {phone.shop_id}", settings.TRIALS_PER_SHOP, 10 * MINUTE_MS, at_ms):
        raise RateLimited(t("This shop has tried its phones often just now. Wait ten minutes."))
    return {"at_ms": ringer.trial(subscription, at_ms)}


def _subscription(phone: Phone) -> dict:
    """The subscription of a phone: {"endpoint", "last_ok_ms", "fails" since then, "wants"}; "endpoint" "" for none."""
    fields = phone.subscriptions.values("endpoint", "last_ok_ms", "fails", "wants").first()
    return fields or {"endpoint": "", "last_ok_ms": None, "fails": 0, "wants": {}}


def _chosen(request: HttpRequest) -> dict[str, str]:
    return {name: request.POST[name] for name in ("kinds", "quiet", "mine") if name in request.POST}


def _check(fields: dict) -> None:
    """Refused if a push message cannot be sent to this address, or not encrypted with these keys."""
    if not webpush.is_known(fields["endpoint"]):
        raise Refused(t("This browser's push service is none that Sandtime knows. Nothing was saved."))
    try:
        point, auth = webpush_crypto.b64url_decode(fields["p256dh"]), webpush_crypto.b64url_decode(fields["auth"])
        ec.EllipticCurvePublicKey.from_encoded_point(webpush_crypto.CURVE, point)
    except ValueError:
        point, auth = b"", b""
    if len(point) != 65 or len(auth) != 16 or len(fields["p256dh"]) > 100 or len(fields["auth"]) > 40:
        raise Refused(t("The keys of this browser's subscription are none. Nothing was saved."))


def _wants(kinds: str = "all", quiet: str = "", mine: str = "") -> dict:
    """What a phone wants, from its form: kinds of rings with commas, or "all"; quiet hours in minutes of the shop's day
    ("1320-360"; "" for none); "yes" for only panels that this phone took.  Refused if one is invalid."""
    wants: dict = {} if kinds == "all" else {"kinds": [kind for kind in kinds.split(",") if kind]}
    if not set(wants.get("kinds", [])) <= set(messages.KINDS):
        raise Refused(t("One of the kinds of rings is none. Nothing was saved."))
    if quiet:
        match = QUIET_HOURS.match(quiet)
        hours = [int(part) for part in match.groups()] if match else [DAY_MIN]
        if max(hours) >= DAY_MIN:
            raise Refused(t("Quiet hours must be from one time of the day to another. Nothing was saved."))
        wants["quiet"] = hours
    if mine == "yes":
        wants["mine"] = True
    return wants
