"""A phone that a keeper gives another role asks at once, one that was ended hears no more; nobody else is bothered."""

# ruff: noqa: F811 (fixtures of another file)
import asyncio

import pytest
from django.test import Client

from shop.models import Phone
from shop.phones import roles
from shop.security import access, errors
from tests.shop.live.test_live import _closing, looking, moved, now_ms, ours, run, shop, tap, token  # noqa: F401
from tests.support.streams import Stream

pytestmark = pytest.mark.django_db(transaction=True)
ASK = "event: ask\ndata: 0\n\n"


@pytest.fixture
def other(shop) -> tuple[Phone, str]:
    return access.new_phone(shop, "painter", now_ms())


async def _aside(work, *args):
    await asyncio.to_thread(_closing, work, *args)


async def _streams(live, *tokens) -> list[Stream]:
    streams = [Stream(live, one) for one in tokens]
    for stream in streams:
        await stream.head()
        assert await stream.next() == moved(0)
    return streams


def test_a_phone_given_another_role_is_told_to_ask_and_no_other_is(ours, shop, token, other):
    phone, its = other
    keeper = access.phone_with_token(token)

    async def story():
        streams = await _streams(ours, token, its)
        for role in ("wall", "painter"):
            await _aside(roles.set_role, keeper, str(phone.pk), role)
            assert await streams[1].next() == ASK
        seq = await tap(shop)
        assert [await stream.next() for stream in streams] == [moved(seq)] * 2
        for stream in streams:
            await stream.leave()

    run(story)


def test_the_stream_of_a_phone_that_a_keeper_ends_is_closed_at_once(ours, shop, token, other):
    phone, its = other
    keeper = access.phone_with_token(token)

    async def story():
        streams = await _streams(ours, token, its)
        await _aside(roles.end, keeper, str(phone.pk), now_ms())
        assert await streams[1].next() == ""
        await streams[0].leave()

    run(story)


@pytest.mark.parametrize("known", ["keeper", "painter", ""])
def test_a_phone_that_comes_with_a_role_it_has_no_more_is_told_to_ask(ours, token, known):
    async def story():
        stream = Stream(ours, token, query=f"role={known}")
        await stream.head()
        assert await stream.next() == moved(0) + (ASK if known == "painter" else "")
        await stream.leave()

    run(story)


def test_a_role_that_was_not_changed_after_all_is_told_to_nobody(ours, shop, token, other):
    keeper = access.phone_with_token(token)

    async def story():
        streams = await _streams(ours, token, other[1])
        with pytest.raises(errors.BadRequest):
            await _aside(roles.set_role, keeper, str(keeper.pk), "wall")  # the last keeper stays one
        seq = await tap(shop)
        assert [await stream.next() for stream in streams] == [moved(seq)] * 2
        for stream in streams:
            await stream.leave()

    run(story)


def test_a_role_that_another_process_changed_is_seen_by_looking(ours, looking, token, other):
    async def story():
        (stream,) = await _streams(ours, other[1])
        await _aside(lambda: Phone.objects.filter(pk=other[0].pk).update(role="wall"))
        assert await stream.next() == ASK
        await stream.leave()

    run(story)


def test_a_phone_that_asks_by_itself_hears_of_its_new_role_too(token, other):
    client = Client(headers={"Authorization": f"Bearer {other[1]}"})
    first = client.get("/moved")
    same = {"If-None-Match": first.headers["ETag"]}
    assert (first.json()["role"], client.get("/moved", headers=same).status_code) == ("painter", 304)
    roles.set_role(access.phone_with_token(token), str(other[0].pk), "wall")
    again = client.get("/moved", headers=same)
    assert (again.status_code, again.json()["role"]) == (200, "wall")
    roles.end(access.phone_with_token(token), str(other[0].pk), now_ms())
    assert client.get("/moved", headers=same).status_code == 401
