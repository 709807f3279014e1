"""What ending a phone, or hanging it on the wall, changes for the others."""

import pytest

from tests.shop.security.test_access import post, tap
from tests.support.joins import asked, begun, joined, phone_of, shop_of
from timers.core.acts.envelope import new_id
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db
PANEL = f"panel:{new_id(1_764_000_000_000, b'sandtime10')}"


def test_the_panels_of_a_phone_that_was_ended_are_nobodys_again_and_those_of_others_stay():
    keeper = begun()
    painter = joined(keeper)
    other = PANEL[:-1] + ("0" if PANEL[-1] != "0" else "1")
    mine, theirs = str(phone_of(keeper).pk), str(phone_of(painter).pk)
    post(painter, [tap(on, "panel_added", name="Hood", steps=[]) for on in (PANEL, other)])
    post(painter, [tap(PANEL, "panel_taken", by=theirs), tap(other, "panel_taken", by=mine)])
    assert asked(keeper, "phones/end", phone=theirs).status_code == 200
    taken = {row.on: row.state["taken"] for row in ThingState.objects.filter(on__startswith="panel:")}
    assert taken[PANEL] is None
    assert taken[other]["by"] == mine
    assert Act.objects.get(kind="panel_let_go").body["who"] == mine


@pytest.mark.parametrize("deed", [{"path": "phones/end"}, {"path": "phones/role", "role": "wall"}])
def test_what_a_phone_that_is_ended_or_on_the_wall_could_sign_with_is_void(deed):
    keeper = begun()
    painter = joined(keeper)
    before = shop_of(keeper).key
    path = deed.pop("path")
    assert asked(keeper, path, phone=str(phone_of(painter).pk), **deed).status_code == 200
    assert shop_of(keeper).key != before


def test_a_role_that_leaves_a_phone_at_work_leaves_the_key():
    keeper = begun()
    painter = joined(keeper)
    before = shop_of(keeper).key
    assert asked(keeper, "phones/role", phone=str(phone_of(painter).pk), role="keeper").status_code == 200
    assert shop_of(keeper).key == before
