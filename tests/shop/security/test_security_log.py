"""What the security log says of joins, roles and refusals, in both forms; and that no secret stands in it."""

import json
import logging
import re

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from shop.base import logs
from shop.models import Shop
from shop.security import audit_log
from shop.server import work_budget
from tests.shop.security.test_access import HTMX, post, token_of
from tests.support.joins import asked, begun, coded, joined, phone_of
from timers.models import Act

pytestmark = pytest.mark.django_db
EVENT = re.compile(r'(?:audit_log\.(?:event|refusal)\(|_log\(|_event=|cause ?= ?)\s*"([a-z-]+)"')
TOKEN = "a-token-that-nobody-was-given-aaaaaaaaaaaaaaaaa"


@pytest.fixture
def lines():
    """What the security log says, formed both ways."""
    messages = []

    class Held(logging.Handler):
        def emit(self, record):
            messages.append(
                logs.Plain("%(asctime)s %(name)s %(message)s").format(record) + "\n" + logs.Json().format(record)
            )

    handler = Held()
    audit_log.reset()
    logging.getLogger(audit_log.NAME).addHandler(handler)
    yield messages
    logging.getLogger(audit_log.NAME).removeHandler(handler)


def whats(lines: list[str]) -> list[str]:
    return [json.loads(line.splitlines()[1])["what"] for line in lines]


def test_each_thing_that_a_host_watches_over_is_said_and_no_secret_with_it(lines, push_service):
    keeper = begun()
    made = coded(keeper)
    painter = joined(keeper, name="Bench at the door")
    other = str(phone_of(painter).pk)
    phrase = asked(keeper, "phones/phrase").json()["phrase"]
    gauge = asked(keeper, "thermometers/make", name="Gauge by the window").json()
    asked(keeper, "thermometers/end", id=gauge["id"])
    display = asked(keeper, "displays/make", name="Board in the hall").json()
    asked(keeper, "displays/end", id=display["id"])
    asked(painter, "displays/make", name="Mine")
    asked(keeper, "phones/role", phone=other, role="wall")
    asked(keeper, "phones/end", phone=other)
    post(painter)
    asked(keeper, "phones/back", phone=other)
    asked(Client(), "join", typed="K4T7WX24A", name="Stranger")
    asked(Client(), "join", typed=phrase, name="New keeper")
    Client().post("/sync", headers={**HTMX, "Authorization": f"Bearer {TOKEN}"})
    Client().post("/begin", headers={"Origin": "https://other.example"})
    asked(painter, "push/subscribe", **push_service.keys("/a-secret-push-address"))
    events = whats(lines)
    done = ["begun", "code-made", "joined", "phrase-made", "thermometer-made", "thermometer-ended", "role-changed"]
    done += ["phone-ended", "phone-let-back", "display-made", "display-ended"]
    refused = ["not-allowed", "ended-phone", "wrong-code", "unknown-token", "cross-site"]
    assert set(events) == {*done, *(f"refused {cause}" for cause in refused)}
    whole = "\n".join(lines)
    secrets = [made["secret"], made["code"], "K4T7WX24A", phrase, phrase.replace(" ", ""), gauge["token"]]
    secrets += [display["token"], TOKEN, token_of(keeper), token_of(painter), "a-secret-push-address"]
    secrets += ["Bench at the door", "Gauge by", "Board in"]
    secrets += [Shop.objects.get().key, "sandtime_phone"]
    assert [secret for secret in secrets if secret in whole] == []
    assert all("from=127.0.0.1" in line for line in lines)
    assert str(Shop.objects.get().pk) in whole
    assert other in whole


@pytest.mark.parametrize(
    "path", ["phones/code", "phones/phrase", "thermometers/make", "thermometers/end", "displays/end"]
)
def test_a_painter_who_asks_for_what_a_keeper_may_is_seen(path, lines):
    painter = joined(begun())
    lines.clear()
    asked(painter, path, name="Mine", role="keeper")
    assert whats(lines) == ["refused not-allowed"]
    assert f"phone={phone_of(painter).pk}" in lines[0]


def test_a_phone_that_is_asked_to_wait_is_seen(lines, monkeypatch):
    phone = begun()

    def none_left(*_):
        raise work_budget.WorkLimit(3, phone_of(phone))

    monkeypatch.setattr(work_budget, "metered", none_left)
    post(phone)
    assert "refused too-fast from=127.0.0.1 shop=" in lines[-1]


def test_each_event_and_cause_in_the_code_stands_in_the_readme(settings):
    code = [path.read_text() for part in ("shop", "timers") for path in (settings.BASE_DIR / part).rglob("*.py")]
    events = {word for text in code for word in EVENT.findall(text)}
    assert {"begun", "role-changed", "ended-phone", "wrong-code"} <= events
    section = (settings.BASE_DIR / "README.md").read_text().partition("**What was refused, and who came in.**")[2]
    assert sorted(word for word in events if f"`{word}`" not in section.partition("failregex")[0]) == []


def test_the_pattern_in_the_readme_finds_the_address(lines, settings):
    asked(Client(REMOTE_ADDR="2001:db8::7"), "join", typed="K4T7WX24A", name="Stranger")
    pattern = re.search(r"failregex = (.*)", (settings.BASE_DIR / "README.md").read_text())[1]
    match = re.search(pattern.replace("<HOST>", r"(?P<host>\S+)"), lines[0].splitlines()[0])
    assert match["host"] == "2001:db8::7"


def test_noise_from_one_address_is_said_once_a_minute_and_then_how_often(lines, monkeypatch):
    moment = [0.0]
    monkeypatch.setattr(audit_log.time, "monotonic", lambda: moment[0])
    for _ in range(50):
        audit_log.refusal("wrong-code", "192.0.2.7")
    audit_log.refusal("wrong-code", "192.0.2.8")
    assert len(lines) == 2
    moment[0] = audit_log.QUIET_S + 1.0
    audit_log.refusal("cross-site", "192.0.2.9")
    assert "refused wrong-code from=192.0.2.7 times=49" in lines[2]
    assert len(lines) == 4


def test_a_flood_of_addresses_takes_no_more_memory_than_so_much(lines, monkeypatch):
    monkeypatch.setattr(audit_log, "MOST_WINDOWS", 10)
    for n in range(1_000):
        audit_log.refusal("wrong-code", f"192.0.2.{n}")
    assert len(audit_log._windows) <= 11
    assert len(lines) == 11


def test_the_log_goes_where_the_others_go_and_says_what_was_done_too():
    for form in ("", "json"):
        made = logs.logging_config(form)
        assert made["loggers"][audit_log.NAME]["level"] == "INFO"
        logging.config.DictConfigurator(made).configure_formatter(dict(made["formatters"]["timed"]))


# --- a shop taken away ---


def test_a_host_deletes_one_shop_with_all_of_it_and_its_phones_are_told(capsys, lines):
    one, other = begun(), begun()
    for client in (one, other):
        post(client, [])
    gone, stays = (phone_of(client).shop for client in (one, other))
    call_command("deleteshop")
    assert str(gone.pk) in capsys.readouterr().out
    call_command("deleteshop", "--shop", str(gone.pk), "--yes")
    assert list(Shop.objects.all()) == [stays]
    assert not Act.objects.filter(shop=gone).exists()
    assert (post(one).status_code, post(other).status_code) == (401, 200)
    assert "shop-deleted" in whats(lines)


def test_a_shop_is_not_deleted_under_another_name_or_number(monkeypatch):
    shop = phone_of(begun()).shop
    monkeypatch.setattr("builtins.input", lambda words: "Another")
    with pytest.raises(CommandError, match="not its name"):
        call_command("deleteshop", "--shop", str(shop.pk))
    with pytest.raises(CommandError, match="No shop here"):
        call_command("deleteshop", "--shop", "x")
    monkeypatch.setattr("builtins.input", lambda words: shop.name)
    call_command("deleteshop", "--shop", str(shop.pk))
    assert not Shop.objects.exists()
