"""Random acts of one cup, for the logs of logs.py."""

from tests.random_logs import rings
from tests.random_logs.sheets import gates, name, new_id, product
from timers.core.acts.act_schema import MOST_POURED
from timers.core.acts.product_schema import CLASSES
from timers.core.fold.shelf import laid_sheet


def grow(log) -> None:
    """One more act on a cup's log: mostly one mixing, then panels it went on, then an emptying."""
    rnd = log.rnd
    if not log.acts or rnd.random() < 0.1:
        _mixed(log)
    elif rnd.random() < 0.15:
        log.add("cup_emptied", left=rnd.choice([0, 60, rnd.randint(0, MOST_POURED)]))
    elif rnd.random() < 0.2:
        rings.grow(log)
    elif rnd.random() < 0.1:
        log.add("cup_rinsed", left="a kind of a later version")
    else:
        log.add("cup_used", panel=_panel(rnd), film=rnd.choice([None, "f1"]))


def _mixed(log) -> None:
    rnd = log.rnd
    sheet = laid_sheet(product(rnd), rnd.choice("0123"))
    if rnd.random() < 0.4:
        sheet = {"name": name(rnd), "cls": rnd.choice(CLASSES), "gates": gates(rnd)}
    count = rnd.choice([1, 2, 3, 3, 12])
    amounts = [rnd.choice([0, 5, 100, 400, rnd.randint(0, MOST_POURED)]) for _ in range(count)]
    amounts[0] = max(amounts[0], 1)
    names = [name(rnd)[:60] for _ in range(count)]
    panels = [_panel(rnd) for _ in range(rnd.choice([0, 0, 1, 3]))]
    mix = {"product": "p.1", "sheet": sheet, "by": rnd.choice(["volume", "weight"])}
    log.add("cup_mixed", **mix, amounts=amounts, names=names, **{"for": panels})


def _panel(rnd) -> str:
    """One of three panels, or any other."""
    known = [f"panel:01956000-0000-7000-8000-00000000000{nth}" for nth in range(3)]
    return rnd.choice([*known, f"panel:{new_id(rnd)}"])
