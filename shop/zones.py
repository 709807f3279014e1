"""Names of time zones, as phones say them."""

import zoneinfo


def known(name: str) -> str:
    """An IANA zone name, or UTC where the name is none."""
    try:
        return zoneinfo.ZoneInfo(name).key
    except (ValueError, OSError, zoneinfo.ZoneInfoNotFoundError):
        return "UTC"
