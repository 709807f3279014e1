"""Who has a panel, as the server draws it; and whom it rings of phones that ring only for their own."""

import pytest

from shop.models import Subscription
from tests.random_logs import logs
from tests.random_logs.sheets import product
from tests.support.bell import NOW_MS
from tests.timers.log.test_log import kept, tap
from timers.core.fold.shelf import laid_sheet
from timers.log import reader
from timers.models import Alert, ThingState

pytestmark = pytest.mark.django_db
BOTH = ["/0", "/1"]


def who(subscription: Subscription) -> str:
    return str(subscription.phone_id)


def took(bell, on: str, subscription: Subscription, ago_ms: int = 0) -> None:
    kept(bell.shop, [tap(bell.rnd, on, "panel_taken", ago_ms, by=who(subscription), who=who(subscription))])


def only_mine(bell) -> None:
    Subscription.objects.all().update(wants={"mine": True})


def rung(bell, on: str) -> list[str]:
    """The phones that are told when a thing rings."""
    bell.at(NOW_MS)
    return [said.split()[0] for said in bell.at(bell.opening(on))]


# --- cards ---


def cards(bell) -> dict[str, str]:
    return {card["on"]: card["face"]["taken"] for card in reader.floor(bell.shop, NOW_MS)["cards"]}


def test_a_card_names_who_has_the_panel(bell):
    one, two = bell.phones
    on = bell.door()
    took(bell, on, one)
    kept(bell.shop, [tap(bell.rnd, "shop", "phone_named", phone=who(one), name="Door side", person="Ana")])
    assert cards(bell) == {on: "Taken by Ana"}
    handed = tap(bell.rnd, on, "panel_handed", -1, to=who(two), note="low spot", who=who(one))
    kept(bell.shop, [handed])
    assert cards(bell) == {on: f"Handed to Phone {who(two)[:4]}: low spot"}


def test_what_was_folded_before_panels_could_be_taken_is_drawn_as_nobodys(bell):
    on = bell.door()
    kept(bell.shop, [tap(bell.rnd, "shop", "units_chosen", units={"temp": "c"})])
    for row in ThingState.objects.filter(shop=bell.shop, on__in=[on, "shop"]):
        row.state = {key: value for key, value in row.state.items() if key not in ("taken", "phones", "trials")}
        row.save()
    assert cards(bell) == {on: ""}
    only_mine(bell)
    assert rung(bell, on) == BOTH


# --- rings ---


def test_a_panel_that_one_phone_took_rings_there_and_where_every_panel_rings(bell):
    only_mine(bell)
    bell.phone("/all")
    on = bell.door()
    took(bell, on, bell.phones[0])
    assert rung(bell, on) == ["/0", "/all"]
    assert Alert.objects.get().closed_ms is not None


def test_a_panel_that_nobody_took_or_that_was_let_go_rings_everywhere(bell):
    only_mine(bell)
    on = bell.door()
    took(bell, on, bell.phones[0], ago_ms=1)
    kept(bell.shop, [tap(bell.rnd, on, "panel_let_go")])
    assert rung(bell, on) == BOTH


def test_a_panel_handed_on_rings_where_it_went(bell):
    only_mine(bell)
    on = bell.door()
    took(bell, on, bell.phones[0], ago_ms=1)
    kept(bell.shop, [tap(bell.rnd, on, "panel_handed", to=who(bell.phones[1]), note="low spot")])
    assert rung(bell, on) == ["/1"]


@pytest.mark.parametrize(("taker", "told"), [(None, [*BOTH, "/2"]), (0, ["/0"]), (1, BOTH), (2, ["/0", "/2"])])
def test_a_cup_rings_where_it_was_mixed_and_where_its_panel_is(bell, taker, told):
    bell.phones.append(bell.phone("/2"))
    door = bell.door()
    if taker is not None:
        took(bell, door, bell.phones[taker])
    on = mixed(bell, door)
    only_mine(bell)
    ThingState.objects.filter(shop=bell.shop, on=door).update(next_at_ms=None)  # only the cup rings
    assert rung(bell, on) == told


def mixed(bell, door: str) -> str:
    """A cup that the first phone mixed for a panel."""
    sheet = {**laid_sheet(product(bell.rnd), ""), "gates": {"pot": [[200, 3_600_000, 3_600_000]]}}
    on = f"cup:{logs.new_id(bell.rnd)}"
    mix = {"product": "p1", "sheet": sheet, "by": "volume", "amounts": [100], "names": ["Paint"], "for": [door]}
    kept(bell.shop, [tap(bell.rnd, on, "cup_mixed", **mix, who=who(bell.phones[0]))])
    return on
