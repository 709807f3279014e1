"""What tests of joining begin with: a keeper, a code, a phone that joins."""

from django.test import Client

from shop.models import Phone, Shop
from shop.phones import joining
from tests.shop.security.test_access import OWN, begun
from timers.shops.sign_up import untouched
from timers.web.pages import now_ms


def asked(client: Client, path: str, **fields):
    """A post of our own page to an address below /."""
    return client.post(f"/{path}", fields, headers=OWN)


def coded(keeper: Client, role: str = "painter") -> dict:
    """A new code: {"secret", "code", "until_ms", "now"}."""
    answer = asked(keeper, "phones/code", role=role)
    assert answer.status_code == 200
    return answer.json()


def joined(keeper: Client, role: str = "painter", name: str = "Bench") -> Client:
    """One more phone of a keeper's shop."""
    client = Client(raise_request_exception=False)
    assert asked(client, "join", secret=coded(keeper, role)["secret"], name=name).status_code == 200
    return client


def bearing(token: str) -> int:
    """What a phone's address answers to whoever holds a token."""
    return Client().get("/phones", headers={"Authorization": f"Bearer {token}"}).status_code


def walled(keeper: Client) -> Client:
    return joined(keeper, "wall", "Wall")


def shop_of(client: Client) -> Shop:
    return phone_of(client).shop


def phone_of(client: Client) -> Phone:
    return Phone.objects.get(pk=client.get("/phones").json()["here"])


def words(answer) -> tuple[int, str]:
    return answer.status_code, answer.content.decode()


def let_in(way: joining.Admission, current: Phone | None = None, name: str = "Bench", asker: str = ""):
    return joining.join(way, current, name, asker, now_ms(), untouched)


__all__ = ["OWN", "asked", "begun", "coded", "joined", "let_in", "phone_of", "shop_of", "walled", "words"]
