"""Hundreds of phones race for one code, many count at once, and a hundred thousand altered texts open nothing."""

import os
import random
import string
import subprocess
import sys

import pytest

from shop.models import Invite, Phone, Shop
from shop.phones import joining
from shop.security import access
from tests.conftest import ROOT
from tests.timers.log.test_log import NOW_MS

RACERS = 300
WAYS = {"token": 40_000, "link": 40_000, "code": 20_000}  # so many altered ones of each
DIGESTS = {"token": access.digest, "link": access.digest, "code": joining.code_digest}
CHUNK = 900
LETTERS = string.ascii_letters + string.digits + "-_"


def test_of_many_phones_that_use_one_code_at_once_one_is_let_in(tmp_path):
    command = [sys.executable, "-m", "tests.support.race_for_a_code", str(RACERS)]
    env = {**os.environ, "SANDTIME_DATA": str(tmp_path)}
    ran = subprocess.run(command, cwd=ROOT, env=env, capture_output=True, text=True, timeout=500, check=False)
    assert ran.returncode == 0, ran.stderr[-3_000:]
    assert ran.stdout.strip() == f"1 of {RACERS}"


@pytest.mark.django_db
@pytest.mark.parametrize("what", WAYS)
def test_of_a_hundred_thousand_altered_texts_none_opens_anything(what):
    """All by what the database is asked for, a thousand through the whole function; tests/soak takes all that way."""
    tried, opens, kept = texts(what)
    assert [text for text in tried[:: len(tried) // 1_000] if opens(text) is not None] == []
    for at in range(0, len(tried), CHUNK):
        assert not kept([DIGESTS[what](text) for text in tried[at : at + CHUNK]])


def texts(what: str):
    """Altered texts of one kind; what opens one, and which of many digests the database holds."""
    shop = Shop.objects.create(name="Any garage", made_ms=NOW_MS)
    _, token = access.new_phone(shop, Phone.Role.KEEPER, NOW_MS)
    secret, code, _ = joining.create_invite(shop, Phone.Role.PAINTER, NOW_MS)
    given = {"token": token, "link": secret, "code": code}[what]
    opens = access.phone_with_token if what == "token" else lambda text: joining.invite_with(what, text)
    rows, column = {
        "token": (Phone, "token_digest"),
        "link": (Invite, "secret_digest"),
        "code": (Invite, "code_digest"),
    }[what]

    def kept(digests: list[str]) -> bool:
        return rows.objects.filter(**{f"{column}__in": digests}).exists()

    assert opens(given) is not None
    assert kept([DIGESTS[what](given)])
    return altered(given, WAYS[what]), opens, kept


def altered(text: str, count: int) -> list[str]:
    """So many texts beside a given one, no two alike."""
    rnd, found = random.Random(5), set()
    while len(found) < count:
        said = text
        for _ in range(rnd.choice((1, 1, 2, 3))):
            said = rnd.choice(ALTER)(said, rnd.randrange(max(len(said), 1)), rnd.choice(LETTERS))
        found |= {said} - {text}
    return sorted(found)


ALTER = [
    lambda text, at, sign: text[:at] + sign + text[at + 1 :],
    lambda text, at, sign: text[:at] + sign + text[at:],
    lambda text, at, sign: text[:at] + text[at + 1 :],
    lambda text, at, sign: text[at:] + text[:at],
    lambda text, at, sign: text[:at] + text[at:].swapcase(),
    lambda text, at, sign: text[: max(at, len(text) // 2)],
]
