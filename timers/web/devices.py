"""Devices of a shop that are not phones: displays and thermometers, each with a token that opens one address only.

Both kinds are listed, made and ended alike.  Every phone of the shop may list them; a keeper makes and ends them.
"""

from collections.abc import Callable
from dataclasses import dataclass

from django.db.models import Manager, QuerySet
from django.http import HttpRequest
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_GET

from shop.models import Phone, Shop
from shop.security import access, audit_log, client_address
from shop.security.errors import Forbidden
from shop.security.guards import own_page_only, phone_view

from ..core.acts.envelope import PHONE
from ..core.base.check import Refused, text
from ..core.base.translate import decimal, later, t
from .wording import Wording

MOST = 20  # devices of one kind in a shop
LONGEST_NAME = 60


@dataclass(frozen=True)
class Devices:
    """One kind of device: its views, and its words.

    `kind` is its name in the security log; with an s it is the key of a list, in answers and of a shop.  `fields` are
    what a list says of each beside its id.  `path` is the address that its token opens, `line` what a person runs
    to use it, `last_words` what a list says of one.  The other values are words for people, and events of the security
    log.
    """

    kind: str
    fields: tuple[str, ...]
    path: str
    line: str
    last_words: Callable[[dict, Wording], str]
    made_event: str
    ended_event: str
    name_label: str
    nameless: str
    none: str
    lookers: str
    keepers_only: str
    full: str
    unknown: str

    def views(self) -> tuple:
        """The views that list, make and end devices.  Each answers with the list; that which makes one also with its
        id and its token, which is told this once."""
        guard = phone_view(f"timers/partials/{self.kind}s.html", self.shown)
        listing = require_GET(never_cache(guard(self._list)))
        return listing, own_page_only(guard(self._make)), own_page_only(guard(self._end))

    def shown(self, request: HttpRequest, phone: Phone, at_ms: int, fields: dict | None = None) -> dict:
        """What the list needs to be drawn, as one of the views answers it or as it stands."""
        fields = self._list(request, phone, at_ms) if fields is None else fields
        wording, keeper = Wording(phone.shop, at_ms), phone.role == Phone.Role.KEEPER
        rows = [{**one, "words": self.last_words(one, wording)} for one in fields[f"{self.kind}s"]]
        notes = ["" if rows else t(self.none), "" if keeper else t(self.lookers)]
        line = self.line.format(**fields) if "token" in fields else ""
        return {"kind": self.kind, "rows": rows, "keeper": keeper, "line": line, "words": " ".join(filter(None, notes))}

    def _list(self, request: HttpRequest, phone: Phone, at_ms: int) -> dict:
        rows = self._live(phone).order_by("made_ms").values("id", *self.fields)
        devices = [{**row, "id": str(row["id"])} for row in rows]
        return {f"{self.kind}s": devices, "address": request.build_absolute_uri(self.path)}

    def _make(self, request: HttpRequest, phone: Phone, at_ms: int) -> dict:
        self._check_keeper(phone)
        name = request.POST.get("name", "").strip()
        if not name:
            raise Refused(t(self.nameless))
        text(self.name_label, name, 1, LONGEST_NAME)
        if self._live(phone).count() >= MOST:
            raise Refused(t(self.full, n=MOST))
        device, token = access.new_device(self._of(phone.shop), name, at_ms)
        self._log(self.made_event, request, phone, str(device.pk))
        return {"id": str(device.pk), "token": token, **self._list(request, phone, at_ms)}

    def _end(self, request: HttpRequest, phone: Phone, at_ms: int) -> dict:
        self._check_keeper(phone)
        device_id = request.POST.get("id", "")
        if not PHONE.match(device_id) or not self._live(phone).filter(pk=device_id).update(ended_ms=at_ms):
            raise Refused(t(self.unknown))
        self._log(self.ended_event, request, phone, device_id)
        return self._list(request, phone, at_ms)

    def _of(self, shop: Shop) -> Manager:
        return getattr(shop, f"{self.kind}s")

    def _live(self, phone: Phone) -> QuerySet:
        """The devices of a phone's shop that were not ended."""
        return self._of(phone.shop).filter(ended_ms=None)

    def _check_keeper(self, phone: Phone) -> None:
        if phone.role != Phone.Role.KEEPER:
            raise Forbidden(t(self.keepers_only), phone)

    def _log(self, event: str, request: HttpRequest, phone: Phone, device_id: str) -> None:
        audit_log.event(event, client_address.client_address(request), phone, **{self.kind: device_id})


def _display_words(display: dict, wording: Wording) -> str:
    if not display["seen_ms"]:
        return t("Has not asked yet. [[a display]]")
    return t("Last asked {time}. [[a display]]", time=wording.clock(display["seen_ms"]))


def _thermometer_words(thermometer: dict, wording: Wording) -> str:
    last, seen_ms = thermometer["last"], thermometer["seen_ms"]
    if not seen_ms:
        return t("Not heard yet. [[a thermometer]]")
    heard = wording.clock(seen_ms)
    if "at" not in last:
        return t("Heard {time}, but no good reading yet. [[a thermometer]]", time=heard)
    temp, read = wording.degrees(last["temp_dc"]), wording.clock(last["at"])
    if "rh_pm" not in last:
        return t("{temp}, read {read}. Last heard {heard}. [[a thermometer]]", temp=temp, read=read, heard=heard)
    damp = decimal(f"{last['rh_pm'] / 10:g}")
    return t(
        "{temp}, {damp} %, read {read}. Last heard {heard}. [[a thermometer]]",
        temp=temp,
        damp=damp,
        read=read,
        heard=heard,
    )


DISPLAYS = Devices(
    kind="display",
    fields=("name", "seen_ms"),
    path="/floor.json",
    line='curl -H "Authorization: Bearer {token}" {address}',
    last_words=_display_words,
    made_event="display-made",
    ended_event="display-ended",
    name_label=later("The name of the display"),
    nameless=later("Say where it stands first: one word will do. Nothing was saved."),
    none=later("None yet. [[displays]]"),
    lookers=later("Only a keeper's phone makes and ends them. [[displays]]"),
    keepers_only=later("Only a keeper's phone makes and ends displays. Nothing was saved."),
    full=later("A shop has at most {n} displays. End one first. Nothing was saved."),
    unknown=later("This display is none of this shop. Nothing was saved."),
)
THERMOMETERS = Devices(
    kind="thermometer",
    fields=("name", "made_ms", "seen_ms", "last"),
    path="/readings",
    line='curl -H "Authorization: Bearer {token}" -H "Content-Type: application/json" {address} '
    """-d '{{"temp_c": 18.5, "humidity_percent": 52}}'""",
    last_words=_thermometer_words,
    made_event="thermometer-made",
    ended_event="thermometer-ended",
    name_label=later("The name of the thermometer"),
    nameless=later("Say where it hangs first: one word will do. Nothing was saved."),
    none=later("None yet. [[thermometers]]"),
    lookers=later("Only a keeper's phone makes and ends them. [[thermometers]]"),
    keepers_only=later("Only a keeper's phone makes and ends thermometers. Nothing was saved."),
    full=later("A shop has at most {n} thermometers. End one first. Nothing was saved."),
    unknown=later("This thermometer is none of this shop. Nothing was saved."),
)
