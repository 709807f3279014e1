"""A thermometer on the wall: what it says becomes an act only where a clock could tell the difference."""

import math
import os
from datetime import UTC, datetime

from shop.errors import Forbidden
from shop.models import Phone, Shop, Thermometer

from . import floor, log
from .core import acts
from .core.check import Refused, text
from .core.order import first_after
from .core.tongue import later, t
from .core.units import DAY_MS, MINUTE_MS

STEP_DC, STEP_PM = 3, 30  # 0.3 C moves a wait by 2 %; less than cheap gauges err: common practice, no source
AGAIN_MS, LEAST_MS = 30 * MINUTE_MS, 5 * MINUTE_MS
WEEK_MS = 7 * DAY_MS
SAME = later("The last reading still holds: within 0.3 °C and 3 %, and less than 30 minutes old.")
CLOSE = later("The last reading is less than 5 minutes old.")
SHOWN = ("name", "made_ms", "seen_ms", "last")
KNOWN = {"temp_c", "humidity_percent", "at"}
MOST = 20  # thermometers of a shop


def take(meter: Thermometer, said: object, now_ms: int) -> dict:
    """What became of a reading: {"kept", "at", "why" when it was not kept}; Refused when it is none."""
    read = _read(said, now_ms)
    why = _needless(read, _around(floor.air_of(meter.shop)["readings"], read["at"]))
    act = {"id": acts.new_id(read["at"], os.urandom(10)), "on": "air", "kind": "air_read", **read, "by": meter.name}
    if refused := acts.refusal(act, now_ms):
        raise Refused(refused)
    if not why:
        verdict = log.append(meter.shop_id, None, [act], now_ms)[0]
        if "why" in verdict:
            raise Refused(verdict["why"])
    if read["at"] >= meter.last.get("at", 0):
        Thermometer.objects.filter(pk=meter.pk).update(last=read)
    at = datetime.fromtimestamp(read["at"] / 1000, UTC).isoformat(timespec="seconds")
    return {"kept": not why, "at": at} | ({"why": t(why)} if why else {})


def listed(shop: Shop) -> list[dict]:
    """The thermometers of a shop that were not ended: {"id", "name", "made_ms", "seen_ms", "last"}."""
    meters = shop.thermometers.filter(ended_ms=None).order_by("made_ms")
    return [{"id": str(one.pk), **{key: getattr(one, key) for key in SHOWN}} for one in meters]


def named(phone: Phone, name: object) -> str:
    """A name for a new thermometer, from a keeper (else Forbidden); Refused when it is none or there are too many."""
    _keeper(phone)
    text(later("The name of the thermometer"), name, 1, 60)
    if phone.shop.thermometers.filter(ended_ms=None).count() >= MOST:
        raise Refused(t("A shop has at most {n} thermometers. End one first. Nothing was saved.", n=MOST))
    return name.strip()


def end(phone: Phone, meter_id: str, now_ms: int) -> None:
    """A keeper ends a thermometer: its token opens nothing from now on; what it said stays."""
    _keeper(phone)
    if not acts.PHONE.match(meter_id):
        raise Refused(t("This thermometer is none of this shop. Nothing was saved."))
    if not phone.shop.thermometers.filter(pk=meter_id, ended_ms=None).update(ended_ms=now_ms):
        raise Refused(t("This thermometer is none of this shop. Nothing was saved."))


def _keeper(phone: Phone) -> None:
    if phone.role != Phone.Role.KEEPER:
        raise Forbidden(t("Only a keeper's phone makes and ends thermometers. Nothing was saved."), phone)


def _around(readings: list[list], at_ms: int) -> list[list]:
    """The last reading up to a moment and the first one after it, those that there are."""
    place = first_after(readings, at_ms)
    return readings[max(0, place - 1) : place + 1]


def _needless(read: dict, around: list[list]) -> str:
    """Why a reading need not become an act, or "" where it must: those read right before it and right after it say the
    same, whichever was told first."""
    near = [one for one in around if abs(read["at"] - one[0]) < AGAIN_MS]
    if any(abs(read["at"] - one[0]) < LEAST_MS for one in near):
        return CLOSE
    return SAME if any(_is_same(read, one) for one in near) else ""


def _is_same(read: dict, other: list) -> bool:
    damp = read.get("rh_pm")
    moved = damp is not None and (other[2] is None or abs(damp - other[2]) >= STEP_PM)
    return not moved and abs(read["temp_dc"] - other[1]) < STEP_DC


def _read(said: object, now_ms: int) -> dict:
    """{"at", "temp_dc", "rh_pm" where told} from what a thermometer says."""
    if not isinstance(said, dict):
        raise Refused(t('The body is not a JSON object such as {"temp_c": 18.5}. Nothing was saved.'))
    if strange := sorted(set(said) - KNOWN):
        raise Refused(t('"{what}" is none of temp_c, humidity_percent, at. Nothing was saved.', what=strange[0][:40]))
    read = {"at": _moment(said["at"], now_ms) if "at" in said else now_ms}
    read["temp_dc"] = _tenths("temp_c", said.get("temp_c"), -40, 60, "°C")
    if said.get("humidity_percent") is not None:
        read["rh_pm"] = _tenths("humidity_percent", said["humidity_percent"], 0, 100, "%")
    return read


def _tenths(what: str, value: object, least: int, most: int, unit: str) -> int:
    """A number to the nearest tenth, as whole tenths."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise Refused(t("{what} is missing or not a number. Nothing was saved.", what=what))
    if not least <= value <= most:
        said = {"what": what, "least": least, "most": most, "unit": unit}
        if abs(value) < 1e9:
            said["gave"] = f"{value:.6g}"
            raise Refused(
                t("{what} must be from {least} to {most} {unit} (you gave {gave}). Nothing was saved.", **said)
            )
        raise Refused(t("{what} must be from {least} to {most} {unit}. Nothing was saved.", **said))
    return math.floor(value * 10 + 0.5)


def _moment(value: object, now_ms: int) -> int:
    """Ms since 1970 UTC from a moment with its zone; a thermometer may bring readings of the last week."""
    try:
        at = datetime.fromisoformat(value)
        at_ms = math.floor(at.timestamp() * 1000) if at.tzinfo else None
    except (TypeError, ValueError, OverflowError):
        at_ms = None
    if at_ms is None:
        raise Refused(t('at must be a moment with its zone, such as "2026-01-31T14:05:00Z". Nothing was saved.'))
    if not now_ms - WEEK_MS <= at_ms <= now_ms + MINUTE_MS:
        raise Refused(t("at must lie in the last seven days: set the thermometer's clock. Nothing was saved."))
    return at_ms
