"""Databases, backups and pages from before models and fields got their standard names work on as they were."""

import json
import random
import uuid

import pytest
from django.core.management import call_command
from django.core.serializers.json import DjangoJSONEncoder
from django.db import connection
from django.db.migrations.executor import MigrationExecutor
from django.test import Client

from shop.models import Invite, Phone, RateLimit, Shop
from shop.security import access
from tests.conftest import ROOT
from tests.random_logs import logs
from tests.shop.security.test_access import HTMX, OWN, tap
from timers.alarm import ringer
from timers.backup import dump
from timers.core.base.units import DAY_MS
from timers.defaults import initial_acts
from timers.log import writer
from timers.models import Act, Alert, Delivery, ThingState

pytestmark = pytest.mark.django_db(transaction=True)
NOW_MS = logs.NOW_MS
BEFORE = [("shop", "0012_door"), ("timers", "0005_hearsay")]  # the last migrations under the older names
SHOPS = 50
OLD_BACKUP = ROOT / "tests" / "backup_before_standard_names.jsonl"  # made by that version
MODELS = {  # as it was: model -> (as it is, {field -> its name now})
    ("shop", "Shop"): (Shop, {"memory": "epoch", "begun_in": "seed_locale"}),
    ("shop", "Phone"): (Phone, {"tongue": "locale"}),
    ("shop", "Opening"): (Invite, {}),
    ("shop", "Count"): (RateLimit, {}),
    ("timers", "Act"): (Act, {"heard_ms": "received_ms", "faded": "archived"}),
    ("timers", "Folded"): (ThingState, {}),
    ("timers", "Told"): (Alert, {"told_ms": "closed_ms", "said": "payload"}),
    ("timers", "Owed"): (Delivery, {"told_id": "alert_id"}),
}


class Old:
    """A database as the version before left it; `rows` is what stood in each table."""

    def __init__(self, apps):
        self.of, self.rnd = apps.get_model, random.Random(12)
        self.memories: dict[str, str] = {}
        for number in range(SHOPS):
            self.shop(number)
        self.lean = self.of("shop", "Shop").objects.create(
            name="Lean", made_ms=NOW_MS, begun_in="de", seq=initial_acts.count()
        )
        self.phone(self.lean, "lean", "keeper")
        self.of("shop", "Count").objects.create(key="typed", until_ms=NOW_MS, count=3)
        self.rows = {(app, name): list(self.of(app, name).objects.order_by("pk").values()) for app, name in MODELS}

    def shop(self, number: int) -> None:
        acts = [act for kind in (logs.panel_log, logs.air_log, logs.product_log) for act in kind(self.rnd, 8)]
        shop = self.of("shop", "Shop").objects.create(name=f"Garage {number}", made_ms=NOW_MS, seq=len(acts))
        phone = self.phone(shop, f"token {number}", "keeper")
        self.phone(shop, f"second {number}", "painter", tongue="de")
        self.acts(shop, phone, acts)
        self.alert(shop, phone, number)
        moments = {"made_ms": NOW_MS, "until_ms": NOW_MS + 1}
        digests = {"secret_digest": access.digest(f"link {number}"), "code_digest": access.digest(f"code {number}")}
        self.of("shop", "Opening").objects.create(shop=shop, role="painter", **digests, **moments)

    def phone(self, shop, token: str, role: str, **more):
        fields = {"role": role, "token_digest": access.digest(token), "made_ms": NOW_MS, "seen_ms": NOW_MS}
        return self.of("shop", "Phone").objects.create(shop=shop, **fields, **more)

    def acts(self, shop, phone, acts: list[dict]) -> None:
        faded = {act["id"] for act in acts if act["on"] == "air"} - {act["id"] for act in needed(acts)}
        size, rows, things = 0, [], {}
        for seq, act in enumerate(acts, 1):
            size += len(json.dumps(act))
            fields = {"seq": seq, "on": act["on"], "kind": act["kind"], "at_ms": act["at"], "body": act}
            fields |= {"heard_ms": NOW_MS, "faded": act["id"] in faded, "shop_bytes": size, "hearsay": seq % 7 == 0}
            rows.append(self.of("timers", "Act")(shop=shop, act_id=act["id"], phone=phone, **fields))
            things.setdefault(act["on"], []).append((seq, act))
        self.of("timers", "Act").objects.bulk_create(rows)
        for on, told in things.items():
            own = [act for _, act in told if act["id"] not in faded]
            fields = {"on": on, "seq": told[-1][0], "state": writer.folded(on, own), "next_at_ms": None}
            fields["bytes"] = sum(len(json.dumps(act)) for act in own)
            self.of("timers", "Folded").objects.create(shop=shop, **fields)

    def alert(self, shop, phone, number: int) -> None:
        keys = {"p256dh": "key", "auth": "auth", "home": "https://clock.example.org/", "made_ms": NOW_MS}
        subscription = self.of("shop", "Subscription").objects.create(
            phone=phone, endpoint=f"https://push.example/{number}", **keys
        )
        said = {"title": "Door", "body": "Sand it", "tag": "one", "at": "#floor", "until_ms": NOW_MS + DAY_MS}
        fields = {"on": "panel:1", "key": "one", "at_ms": NOW_MS, "claimed_ms": NOW_MS, "said": said}
        told = self.of("timers", "Told").objects.create(shop=shop, **fields)
        self.of("timers", "Owed").objects.create(told=told, subscription=subscription, try_ms=NOW_MS, tries=number)


def needed(acts: list[dict]) -> list[dict]:
    return writer.NEEDED["air"]([act for act in acts if act["on"] == "air"])


@pytest.fixture
def old(transactional_db):
    """The database of the version before, brought up to date."""
    executor = MigrationExecutor(connection)
    here = executor.loader.graph.leaf_nodes()
    try:
        executor.migrate(BEFORE)
        made = Old(executor.loader.project_state(BEFORE).apps)
    finally:
        MigrationExecutor(connection).migrate(here)
    return made


def phone_with(token: str) -> Client:
    """An open page of an older version: it has its cookie, and asks as it always has."""
    client = Client()
    client.cookies["sandtime_phone"] = token
    return client


def sync(client: Client, acts: list, headers: dict = OWN, **said):
    return client.post("/sync", {"acts": json.dumps(acts), "marks": "{}", **said}, headers=headers)


def test_every_row_of_fifty_shops_is_what_it_was_under_its_new_names(old):
    for (app, name), (model, fields) in MODELS.items():
        before = [{fields.get(key, key): value for key, value in row.items()} for row in old.rows[app, name]]
        assert len(before) >= (1 if name == "Count" else SHOPS)
        assert list(model.objects.order_by("pk").values()) == before, name


def test_each_shop_is_read_and_written_by_a_page_that_was_open_all_the_while(old):
    for row in (row for row in old.rows["shop", "Shop"] if row["name"] != "Lean"):
        token = row["name"].replace("Garage", "token")
        client, memory, seq = phone_with(token), str(row["memory"]), row["seq"]
        whole = sync(client, [], cursor=0, memory="").json()
        assert (whole["memory"], whole["cursor"], whole["shop"]["name"]) == (memory, seq, row["name"])
        states = {one["on"]: one["state"] for one in old.rows["timers", "Folded"] if one["shop_id"] == row["id"]}
        assert {one["on"]: one["state"] for one in whole["fragments"]} == states
        acts = [one for one in old.rows["timers", "Act"] if one["shop_id"] == row["id"]]
        ids = {act["id"] for fragment in whole["fragments"] for act in fragment["acts"]}
        assert ids == {str(one["act_id"]) for one in acts if not one["faded"]}
        more = {"cursor": seq, "memory": memory, "cursor_act": whole["cursor_act"], "shop": str(row["id"])}
        assert sync(client, [], **more).json()["fragments"] == []
        act = tap()
        answer = sync(client, [act], **more).json()
        assert answer["verdicts"] == [{"id": act["id"], "verdict": "kept", "seq": seq + 1}]
        assert (answer["memory"], answer["cursor"]) == (memory, seq + 1)
        shown = sync(client, [], HTMX, cursor=seq, memory=memory).content.decode()
        assert f'data-memory="{memory}"' in shown


def test_a_shop_that_stood_as_it_began_is_told_under_the_name_that_its_phone_knows(old):
    kept = next(row for row in old.rows["shop", "Shop"] if row["name"] == "Lean")
    begun = initial_acts.Beginning("de", NOW_MS)
    answer = sync(phone_with("lean"), [], cursor=0, memory="").json()
    assert answer["unused"]
    assert answer["memory"] == str(initial_acts.epoch(uuid.UUID(str(kept["memory"])), begun))
    assert len(answer["fragments"]) == initial_acts.count()


def test_what_was_owed_to_phones_is_delivered(old):
    rows = ringer.claim(NOW_MS)
    assert len(rows) == SHOPS
    assert {row.alert.payload["title"] for row in rows} == {"Door"}
    assert sorted(row.tries for row in rows) == list(range(1, SHOPS + 1))


def test_a_database_can_go_back_to_the_version_before():
    executor = MigrationExecutor(connection)
    here = executor.loader.graph.leaf_nodes()
    try:
        executor.migrate(BEFORE)
        tables = connection.introspection.table_names()
    finally:
        MigrationExecutor(connection).migrate(here)
    assert {"timers_told", "timers_owed", "timers_folded", "shop_opening", "shop_count"} <= set(tables)
    assert {"timers_alert", "shop_invite"} <= set(connection.introspection.table_names())


def test_a_backup_of_the_version_before_is_put_back():
    lines = [json.loads(line) for line in OLD_BACKUP.read_text(encoding="utf-8").splitlines()]
    rows = {}
    for line in lines[1:-1]:
        rows.setdefault(line["model"], []).append(line)
    assert {"shop.opening", "shop.count", "timers.told", "timers.owed"} <= set(rows)
    call_command("restore", OLD_BACKUP)
    restored = {(row["model"], str(row["pk"])): row["fields"] for row in dump._rows("default")}
    assert len(restored) == len(lines) - 2
    for (app, name), (model, fields) in MODELS.items():
        names = {"told": "alert", **fields}
        for row in rows.get(f"{app}.{name}".lower(), []):
            before = {names.get(key, key): value for key, value in row["fields"].items()}
            after = restored[model._meta.label_lower, str(row["pk"])]
            assert json.loads(json.dumps({**after, "epoch": 0}, cls=DjangoJSONEncoder)) == {**before, "epoch": 0}
    assert ThingState.objects.exists()
