"""Random acts of two phones that told of one coat, for the logs of logs.py."""

from timers.core.base.units import MINUTE_MS

PHONES = ["01956000-0000-7000-8000-0000000000a1", "01956000-0000-7000-8000-0000000000b2"]


def grow(log) -> None:
    """The last film told of by a second phone, or two films said to be both real."""
    laid = [act for act in log.acts if act["kind"] == "film_laid"]
    if not laid or log.rnd.random() < 0.4:
        log.add("both_laid", films=log.films())
        return
    film = f"f{len(log.film_ids)}"
    log.film_ids.append(film)
    laid[-1].setdefault("who", log.rnd.choice(PHONES))
    said = {key: laid[-1].get(key) for key in ("step", "product", "coat", "area", "sheet")}
    log.at = laid[-1]["at"] + log.rnd.choice([0, MINUTE_MS, 60 * MINUTE_MS])
    log.add("film_laid", film=film, who=log.rnd.choice(PHONES), **said)
