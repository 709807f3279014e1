"""One more phone joins: by link or by typed code, once, within five minutes."""

import pytest
from django.core.management import CommandError, call_command
from django.test import Client

from shop.models import Invite, Phone, RateLimit
from shop.phones import attempts, code_alphabet, joining
from shop.security import access, client_address
from tests.shop.security.test_access import post, tap
from tests.support.joins import asked, begun, coded, joined, phone_of, shop_of, words

pytestmark = pytest.mark.django_db
WRONG = "K4T7WX24A"


def test_a_phone_joins_by_the_secret_of_a_link_and_gets_the_floor():
    keeper = begun()
    post(keeper, [tap(temp_dc=123)])
    client = joined(keeper, name="Bench")
    assert '"temp_dc": 123' in post(client).content.decode()
    here = phone_of(client)
    assert (here.name, here.role, here.shop) == ("Bench", "painter", shop_of(keeper))


@pytest.mark.parametrize("alter", [str, str.lower, lambda code: f" {code[:3]}-{code[3:]} "])
def test_a_phone_joins_by_the_code_however_it_is_typed(alter):
    code = coded(begun())["code"]
    answer = asked(Client(), "join", typed=alter(code), name="Bench")
    assert answer.status_code == 200
    assert access.COOKIE in answer.cookies


def test_signs_that_are_taken_for_others_are_read_as_those():
    assert code_alphabet.parse("zsb gu2") == "2586V2"
    assert not set("01OILZSBGU") & set(code_alphabet.ALPHABET)
    assert code_alphabet.parse("K4T 0WX") == ""


def test_the_code_and_the_secret_are_one_way_in_and_kept_only_as_digests():
    keeper = begun()
    made = coded(keeper)
    assert len(made["code"]) == 9
    assert len(made["secret"]) >= 43
    assert made["until_ms"] - made["now"] == 300_000
    row = {name: str(value) for name, value in Invite.objects.values().get().items()}
    assert not [name for name, value in row.items() if made["code"] in value or made["secret"] in value]
    assert asked(Client(), "join", secret=made["secret"], name="Bench").status_code == 200
    answer = asked(Client(), "join", typed=made["code"], name="Bench")
    assert words(answer) == (400, "Another phone has used this code. Ask for a new one.")


def test_a_code_is_over_after_five_minutes_by_link_and_typed():
    made = coded(begun())
    Invite.objects.update(until_ms=made["now"])
    for fields, kind in (({"secret": made["secret"]}, "link"), ({"typed": made["code"]}, "code")):
        answer = asked(Client(), "join", name="Bench", **fields)
        assert words(answer) == (400, f"This {kind} is over: one is good for five minutes. Ask for a new one.")
    assert Phone.objects.count() == 1


@pytest.mark.parametrize(
    ("fields", "words"),
    [
        ({"typed": WRONG}, "No keeper has given this code. Look again, or ask for a new one."),
        ({"secret": "x"}, "No keeper has given this link. Look again, or ask for a new one."),
        ({"typed": "K4T"}, "A code has nine signs"),
        ({"typed": "K4T0WX24A"}, "A code has nine signs and no 0, O, 1, I or L"),
        ({}, "A code has nine signs"),
        ({"typed": "K4T7 WX24 " * 4}, "No shop here has this recovery phrase."),
    ],
)
@pytest.mark.parametrize("path", ["join", "join/look"])
def test_a_wrong_code_is_said_in_words_and_changes_nothing(fields, words, path):
    begun()
    answer = asked(Client(), path, name="Bench", **fields)
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert access.COOKIE not in answer.cookies
    assert Phone.objects.count() == 1


@pytest.mark.parametrize("name", ["", "  ", "x" * 61, "a\0b"])
def test_a_phone_without_a_proper_name_uses_no_code_up(name):
    made = coded(begun())
    assert asked(Client(), "join", secret=made["secret"], name=name).status_code == 400
    assert asked(Client(), "join", secret=made["secret"], name="Bench").status_code == 200


def test_looking_says_which_shop_and_uses_nothing_up():
    keeper = begun()
    made = coded(keeper, "wall")
    shop = shop_of(keeper)
    answer = {"shop": str(shop.pk), "name": shop.name, "role": "wall", "asks": "", "why": "", "leaves": ""}
    for _ in range(30):
        assert asked(Client(), "join/look", secret=made["secret"]).json() == answer
    assert asked(Client(), "join", secret=made["secret"], name="Wall").status_code == 200


def test_an_answer_lost_on_the_way_is_asked_again_by_the_same_phone_and_by_no_other():
    keeper = begun()
    secret = coded(keeper)["secret"]
    first = asked(Client(), "join", secret=secret, name="Bench", asker="drawn by the phone")
    lost = Client()
    again = asked(lost, "join", secret=secret, name="Bench", asker="drawn by the phone")
    assert again.json() == first.json()
    assert post(lost).status_code == 200
    for other in ("", "drawn by another"):
        assert asked(Client(), "join", secret=secret, name="Bench", asker=other).status_code == 400
    assert shop_of(keeper).phones.count() == 2


def test_a_host_lets_a_keeper_in_where_all_are_lost(capsys):
    keeper = begun()
    shop = str(shop_of(keeper).pk)
    call_command("letin")
    assert capsys.readouterr().out.split() == [shop, "1", "phones", "My", "shop"]
    call_command("letin", "--shop", shop)
    code = capsys.readouterr().out.split("  ")[0]
    client = Client()
    assert asked(client, "join", typed=code, name="New").json()["role"] == "keeper"
    for number in ("x", str(phone_of(client).pk)):
        with pytest.raises(CommandError, match="No shop here has this id"):
            call_command("letin", "--shop", number)


# --- limits ---


def test_wrong_codes_from_one_address_are_stopped_and_good_ones_do_not_count():
    keeper = begun()
    for _ in range(attempts.MOST_WRONG + 5):
        joined(keeper)
    for _ in range(attempts.MOST_WRONG):
        assert asked(Client(), "join", typed=WRONG, name="Bench").status_code == 400
    answer = asked(Client(), "join", typed=coded(keeper)["code"], name="Bench")
    assert words(answer) == (429, "Too many wrong codes came from here. Wait ten minutes.")
    elsewhere = Client(REMOTE_ADDR="192.0.2.7")
    assert asked(elsewhere, "join", typed=coded(keeper)["code"], name="Bench").status_code == 200


def test_noise_of_wrong_codes_shuts_no_other_shop_out_and_leaves_each_address_one_try(monkeypatch):
    monkeypatch.setattr(attempts, "MOST_TYPED", 5)
    keeper = begun()
    for n in range(5):
        assert asked(Client(REMOTE_ADDR=f"192.0.2.{n}"), "join", typed=WRONG, name="Bench").status_code == 400
    for n in range(3):
        good = Client(REMOTE_ADDR=f"198.51.100.{n}")
        assert asked(good, "join", typed=coded(keeper)["code"], name="Bench").status_code == 200
    stranger = Client(REMOTE_ADDR="192.0.2.99")
    assert asked(stranger, "join", typed=WRONG, name="Bench").status_code == 400
    assert asked(stranger, "join", typed=coded(keeper)["code"], name="Bench").status_code == 429
    assert asked(stranger, "join", secret=coded(keeper)["secret"], name="Bench").status_code == 200


def test_many_networks_of_one_ipv6_customer_count_as_one(monkeypatch):
    monkeypatch.setattr(attempts, "MOST_WIDE", 3)
    begun()
    tried = [asked(Client(REMOTE_ADDR=f"2001:db8:1:{n}::1"), "join", typed=WRONG, name="Bench") for n in range(4)]
    assert [one.status_code for one in tried] == [400, 400, 400, 429]
    assert asked(Client(REMOTE_ADDR="2001:db8:2::1"), "join", typed=WRONG, name="Bench").status_code == 400


def test_a_hundred_thousand_addresses_hit_one_of_a_hundred_open_codes_less_than_once_in_a_thousand_days():
    codes = len(code_alphabet.ALPHABET) ** joining.CODE_SIGNS
    a_day = 86_400_000 // attempts.SPAN_MS * (attempts.MOST_TYPED + 100_000)
    assert len(set(code_alphabet.ALPHABET)) == 26
    assert a_day * 100 / codes < 1 / 1_000


def test_a_shop_makes_only_so_many_codes_in_ten_minutes(monkeypatch):
    monkeypatch.setattr(joining, "MOST_MADE", 3)
    one, other = begun(), begun()
    for _ in range(3):
        coded(one)
    assert words(asked(one, "phones/code", role="painter")) == (
        429,
        "This shop has made many codes just now. Wait ten minutes.",
    )
    coded(other)
    RateLimit.objects.update(until_ms=1)
    coded(one)
    assert not RateLimit.objects.filter(until_ms=1).exists()


@pytest.mark.parametrize(
    ("proxied", "headers", "kept"),
    [
        (False, {"REMOTE_ADDR": "192.0.2.7", "HTTP_X_FORWARDED_FOR": "198.51.100.1"}, "192.0.2.7"),
        (True, {"REMOTE_ADDR": "192.0.2.7", "HTTP_X_FORWARDED_FOR": "203.0.113.9, 198.51.100.1"}, "198.51.100.1"),
        (False, {"REMOTE_ADDR": "2001:db8:1:2:aaaa::1"}, "2001:db8:1:2::/64"),
        (False, {"REMOTE_ADDR": ""}, "unknown"),
    ],
)
def test_tries_are_counted_by_the_address_that_the_server_sees(rf, settings, proxied, headers, kept):
    settings.BEHIND_PROXY = proxied
    assert client_address.rate_limit_address(rf.get("/", **headers)) == kept
