"""Time zone names from phones."""

import zoneinfo


def known(name: str) -> str:
    """The IANA zone of this name, UTC where there is none."""
    try:
        return zoneinfo.ZoneInfo(name).key
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        return "UTC"
