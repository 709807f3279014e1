"""Readings of a thermometer on the wall: one becomes an act only if a clock could tell the difference."""

import math
import os
from datetime import UTC, datetime

from shop.models import Thermometer

from ..core.acts import envelope
from ..core.base.check import Refused
from ..core.base.translate import later, t
from ..core.base.units import DAY_MS, MINUTE_MS
from ..core.fold.order import first_after
from . import reader, writer

STEP_DC, STEP_PM = 3, 30  # 0.3 C moves a wait by 2 %; less than cheap gauges err: common practice, no source
AGAIN_MS, LEAST_MS = 30 * MINUTE_MS, 5 * MINUTE_MS
WEEK_MS = 7 * DAY_MS
SAME = later("The last reading still holds: within 0.3 °C and 3 %, and less than 30 minutes old.")
CLOSE = later("The last reading is less than 5 minutes old.")
KNOWN = {"temp_c", "humidity_percent", "at"}


def take(meter: Thermometer, body: object, now_ms: int) -> dict:
    """Keep a reading if it is needed: {"kept": bool, "at": ISO 8601 in UTC, "why" if it was not kept}.

    `body` is the parsed JSON of a request: {"temp_c": -40 to 60, "humidity_percent": 0 to 100 or none, "at": ISO 8601
    with a zone, of the last seven days; absent: now}.  Refused if it is invalid.
    """
    reading = _parsed(body, now_ms)
    why = _needless(reading, _around(reader.air_of(meter.shop)["readings"], reading["at"]))
    act = {"id": envelope.new_id(reading["at"], os.urandom(10)), "on": "air", "kind": "air_read", **reading}
    act["by"] = meter.name
    if refusal := envelope.refusal(act, now_ms):
        raise Refused(refusal)
    if not why:
        verdict = writer.append(meter.shop_id, None, [act], now_ms)[0]
        if "why" in verdict:
            raise Refused(verdict["why"])
    if reading["at"] >= meter.last.get("at", 0):
        Thermometer.objects.filter(pk=meter.pk).update(last=reading)
    at = datetime.fromtimestamp(reading["at"] / 1000, UTC).isoformat(timespec="seconds")
    return {"kept": not why, "at": at} | ({"why": t(why)} if why else {})


def _around(readings: list[list], at_ms: int) -> list[list]:
    """Of [at_ms, temp_dc, rh_pm] by time, the last one up to a moment and the first one after it, if there are any."""
    place = first_after(readings, at_ms)
    return readings[max(0, place - 1) : place + 1]


def _needless(reading: dict, around: list[list]) -> str:
    """Why a reading need not become an act, "" if it must.  The readings just before and just after it count alike,
    whichever arrived first."""
    near = [other for other in around if abs(reading["at"] - other[0]) < AGAIN_MS]
    if any(abs(reading["at"] - other[0]) < LEAST_MS for other in near):
        return CLOSE
    return SAME if any(_is_same(reading, other) for other in near) else ""


def _is_same(reading: dict, other: list) -> bool:
    rh_pm = reading.get("rh_pm")
    humidity_moved = rh_pm is not None and (other[2] is None or abs(rh_pm - other[2]) >= STEP_PM)
    return not humidity_moved and abs(reading["temp_dc"] - other[1]) < STEP_DC


def _parsed(body: object, now_ms: int) -> dict:
    """{"at": ms, "temp_dc", "rh_pm" if given} from the body of a request; Refused if it is invalid."""
    if not isinstance(body, dict):
        raise Refused(t('The body is not a JSON object such as {"temp_c": 18.5}. Nothing was saved.'))
    if unknown := sorted(set(body) - KNOWN):
        raise Refused(t('"{what}" is none of temp_c, humidity_percent, at. Nothing was saved.', what=unknown[0][:40]))
    reading = {"at": _moment(body["at"], now_ms) if "at" in body else now_ms}
    reading["temp_dc"] = _tenths("temp_c", body.get("temp_c"), -40, 60, "°C")
    if body.get("humidity_percent") is not None:
        reading["rh_pm"] = _tenths("humidity_percent", body["humidity_percent"], 0, 100, "%")
    return reading


def _tenths(what: str, value: object, least: int, most: int, unit: str) -> int:
    """A number from `least` to `most` as whole tenths, rounded half up."""
    if not isinstance(value, int | float) or isinstance(value, bool):
        raise Refused(t("{what} is missing or not a number. Nothing was saved.", what=what))
    if not least <= value <= most:
        values = {"what": what, "least": least, "most": most, "unit": unit}
        if abs(value) < 1e9:
            values["gave"] = f"{value:.6g}"
            raise Refused(
                t("{what} must be from {least} to {most} {unit} (you gave {gave}). Nothing was saved.", **values)
            )
        raise Refused(t("{what} must be from {least} to {most} {unit}. Nothing was saved.", **values))
    return math.floor(value * 10 + 0.5)


def _moment(value: object, now_ms: int) -> int:
    """Ms since 1970 UTC from an ISO 8601 moment with its zone; Refused if it does not lie in the last seven days."""
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
