"""A server put back from a backup under phones that know newer acts: they tell it, and nothing is lost."""

import json
import random

import pytest
from django.core.management import CommandError, call_command

from shop.models import Shop
from shop.security import access
from tests.random_logs import logs
from tests.simulated import phone as people
from tests.simulated.phone import Phone, fold
from tests.support.laws import as_text
from timers.core.base.units import HOUR_MS, MINUTE_MS
from timers.log import reader, sync
from timers.log.epoch import Heard
from timers.models import Act, ThingState

pytestmark = pytest.mark.django_db


class Garage:
    """Phones that tap and ask on a good network, and the acts that any answer ever acknowledged."""

    def __init__(self, seed: int):
        self.rnd, self.now_ms = random.Random(seed), logs.NOW_MS
        self.shop = access.new_shop("Any garage", "UTC", self.now_ms)
        self.phones = [Phone(access.new_phone(self.shop, "painter", self.now_ms)[0], "", 0) for _ in range(3)]
        self.acknowledged: dict[str, dict] = {}
        for act in people.common_start(self.rnd, self.now_ms):
            self.phones[0].keep(act)
        self.ask(self.phones[0])

    def work(self, turns: int) -> None:
        for _ in range(turns):
            phone = self.rnd.choice(self.phones)
            self.now_ms += MINUTE_MS
            act = people.tap(self.rnd, phone, self.now_ms, [])
            if act:
                phone.keep(act)
            if self.rnd.random() < 0.5:
                self.ask(phone)

    def ask(self, phone: Phone, answered: bool = True) -> bool:
        """One request; whether the phone has to ask again."""
        batch = [row["act"] for row in phone.batch()]
        heard = Heard(phone.cursor, phone.memory, phone.cursor_act)
        said = sync.exchange(phone.row, batch, heard, self.now_ms, False)
        answer = json.loads(json.dumps(said))
        good = {verdict["id"] for verdict in answer["verdicts"] if "why" not in verdict}
        self.acknowledged |= {act["id"]: act for act in batch if act["id"] in good}
        if answered:
            phone.hear(answer)
        return answer["more"] or bool(phone.unsent())

    def meet(self) -> None:
        """Each phone asks until it has told and heard all, twice: the second time it hears what the others told."""
        for phone in self.phones * 2:
            while self.ask(phone):
                pass


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("page", [2, 200])
def test_what_was_acknowledged_after_the_backup_comes_back_from_the_phones(tmp_path, monkeypatch, seed, page):
    monkeypatch.setattr(reader, "PAGE", page)
    garage = Garage(seed)
    garage.work(15)
    call_command("backup", tmp_path / "kept", verbosity=0)
    garage.work(25)
    for phone in garage.phones:
        garage.ask(phone)  # so that each act is on a phone that lives on
    call_command("restore", tmp_path / "kept", replace=True)
    garage.work(garage.rnd.choice([0, 30]))
    garage.meet()
    check(garage)


def check(garage: Garage) -> None:
    rows = list(Act.objects.filter(shop=garage.shop).order_by("seq").values_list("seq", "body"))
    held = {body["id"]: body for _, body in rows}
    assert [seq for seq, _ in rows] == list(range(1, len(rows) + 1))
    assert held == garage.acknowledged
    things: dict[str, list] = {}
    for act in held.values():
        things.setdefault(act["on"], []).append(act)
    for on, acts in things.items():
        assert {as_text(phone.view(on)) for phone in garage.phones} == {as_text(fold(on, acts))}
        assert as_text(ThingState.objects.get(shop=garage.shop, on=on).state) == as_text(fold(on, acts))
    for phone in garage.phones:
        assert (phone.unsent(), set(phone.things)) == ([], set(things))


def test_numbers_given_out_again_do_not_hide_acts_from_a_phone_with_the_old_memory(tmp_path):
    """The server has grown past the phone's cursor again when the phone comes back."""
    garage = Garage(1)
    call_command("backup", tmp_path / "kept", verbosity=0)
    one, two = garage.phones[:2]
    garage.ask(two)
    one.keep(people._act(garage.rnd, garage.now_ms, "air", "air_read", temp_dc=111))
    garage.ask(one)
    call_command("restore", tmp_path / "kept", replace=True)
    for degrees in range(5):
        act = people._act(garage.rnd, garage.now_ms + degrees, "shop", "units_chosen", units={"temp": "f"})
        two.keep(act)
        garage.ask(two)
    assert Shop.objects.get().seq > one.cursor
    garage.meet()
    check(garage)
    assert Act.objects.filter(kind="air_read", body__temp_dc=111).exists()


def test_a_tap_whose_answer_was_lost_with_the_server_is_told_again(tmp_path):
    garage = Garage(2)
    call_command("backup", tmp_path / "kept", verbosity=0)
    one = garage.phones[0]
    one.keep(people._act(garage.rnd, garage.now_ms, "air", "air_read", temp_dc=111))
    garage.ask(one, answered=False)
    call_command("restore", tmp_path / "kept", replace=True)
    garage.meet()
    check(garage)


def test_a_restore_without_replace_changes_nothing_where_shops_are(tmp_path):
    garage = Garage(3)
    call_command("backup", tmp_path / "kept", verbosity=0)
    garage.work(5)
    before = list(Act.objects.order_by("pk").values_list())
    memory = Shop.objects.get().epoch
    with pytest.raises(CommandError, match=r"holds 1 shop. Say --replace .* Nothing was changed"):
        call_command("restore", tmp_path / "kept")
    assert list(Act.objects.order_by("pk").values_list()) == before
    assert Shop.objects.get().epoch == memory


def test_a_client_that_names_no_memory_is_told_by_its_cursor_alone():
    garage = Garage(4)
    answer = reader.changed(garage.shop, Heard(2), garage.now_ms + HOUR_MS)
    assert all(fragment["seq"] > 2 for fragment in answer["fragments"])
    assert answer["memory"] == str(Shop.objects.get().epoch)
    other = reader.changed(garage.shop, Heard(2, "another"), garage.now_ms)
    assert len(other["fragments"]) == ThingState.objects.count()
