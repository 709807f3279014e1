"""Random acts of people, for the logs of logs.py: a panel taken and handed on; of the shop, phones and trials."""

from tests.random_logs.growing import PHONES
from tests.random_logs.sheets import name
from timers.core.acts import people
from timers.core.fold.shop_state import UNITS


def grow(log) -> None:
    """One act on who has the log's panel."""
    rnd = log.rnd
    turn = rnd.random()
    if turn < 0.4:
        log.add("panel_taken", by=rnd.choice(PHONES))
    elif turn < 0.8:
        log.add("panel_handed", to=rnd.choice(PHONES), note=rnd.choice([None, name(rnd)[:200]]))
    else:
        log.add("panel_let_go")


def grow_shop(log) -> None:
    """One act on the shop: units, a phone's name, a trial."""
    rnd = log.rnd
    turn = rnd.random()
    if turn < 0.2:
        what = rnd.choice(list(UNITS))
        log.add("units_chosen", units={what: rnd.choice(UNITS[what])})
    elif turn < 0.3:
        log.add("shop_named", name=name(rnd)[:60])
    elif turn < 0.6:
        names = {key: name(rnd)[:60] for key in ("name", "person") if rnd.random() < 0.7}
        log.add("phone_named", phone=rnd.choice(PHONES), **names)
    else:
        ways = [way for way in people.WAYS if rnd.random() < 0.4]
        late = rnd.choice([None, 0, 2000, rnd.randint(0, people.LATE_MS)])
        told = {"locked": rnd.random() < 0.5, "heard": rnd.choice(people.HEARD), "late_ms": late}
        log.add("trial_told", phone=rnd.choice(PHONES), ways=ways, **told)
