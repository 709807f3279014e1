"""Hearing at once that the shop moved: who may listen, what is said, when a stream ends; and asking instead."""

import asyncio
import os
import time
from concurrent.futures import ThreadPoolExecutor

import pytest
from django.db import connection, transaction

from shop.base import limits
from shop.live import hub, sse
from shop.models import Phone, Shop
from shop.security import access, csp
from tests.support.streams import Stream
from timers.core.acts.envelope import new_id
from timers.log import writer

pytestmark = pytest.mark.django_db(transaction=True)


def now_ms() -> int:
    return time.time_ns() // 1_000_000


def read_air(shop: Shop) -> int:
    """One act of a shop; the sequence it got."""
    at = now_ms()
    act = {"id": new_id(at, os.urandom(10)), "at": at, "on": "air", "kind": "air_read", "temp_dc": 200}
    return writer.append(shop.pk, None, [act], at)[0]["seq"]


async def tap(shop: Shop) -> int:
    """An act from a thread, as Django has it."""
    return await asyncio.to_thread(_closing, read_air, shop)


def _closing(work, *args):
    try:
        return work(*args)
    finally:
        connection.close()


def moved(seq: int) -> str:
    return f"event: moved\ndata: {seq}\n\n"


@pytest.fixture
def shop() -> Shop:
    return access.new_shop("Ours", "UTC", now_ms())


@pytest.fixture
def token(shop) -> str:
    return access.new_phone(shop, "keeper", now_ms())[1]


@pytest.fixture
def ours(monkeypatch):
    """A hub of its own that acts are told to; looking for other processes is left out unless a test brings it in."""
    own = hub.Hub()
    monkeypatch.setattr(hub, "hub", own)
    monkeypatch.setattr(hub, "POLL_S", 3_600)
    yield sse.Live(own)
    own._threads.shutdown()


@pytest.fixture
def looking(ours, monkeypatch):
    """The hub looks all the time at what other processes wrote, as it does where no notice comes from them."""
    if connection.vendor == "postgresql":
        pytest.skip("PostgreSQL tells it: tests/shop/live/test_live_postgres.py")
    monkeypatch.setattr(hub, "POLL_S", 0.01)


def run(story, *args):
    """In a thread of its own: a browser under Playwright holds this one's loop."""
    with ThreadPoolExecutor(1) as thread:
        thread.submit(_closing, asyncio.run, story(*args)).result()


@pytest.mark.parametrize("bearer", [False, True])
def test_a_stream_says_where_the_shop_stands_and_then_every_move(ours, shop, token, bearer):
    async def story():
        first = await tap(shop)
        stream = Stream(ours, token, bearer=bearer)
        status, headers = await stream.head()
        assert (status, headers["content-type"]) == (200, "text/event-stream; charset=utf-8")
        assert (headers["cache-control"], headers["x-accel-buffering"]) == ("no-store", "no")
        assert headers["content-security-policy"] == csp.POLICY
        assert await stream.next() == moved(first)
        assert moved(await tap(shop)) == await stream.next()
        assert moved(await tap(shop)) == await stream.next()
        await stream.leave()

    run(story)


def test_every_phone_of_a_shop_hears_the_wall_too_and_no_phone_of_another(ours, shop, token):
    other = access.new_shop("Theirs", "UTC", now_ms())
    tokens = [token, access.new_phone(shop, "wall", now_ms())[1], access.new_phone(other, "keeper", now_ms())[1]]

    async def story():
        streams = [Stream(ours, one) for one in tokens]
        for stream in streams:
            assert (await stream.head())[0] == 200
            assert await stream.next() == moved(0)
        for _ in range(3):
            seq = await tap(shop)
            assert [await stream.next() for stream in streams[:2]] == [moved(seq)] * 2
        assert moved(await tap(other)) == await streams[2].next()  # the first it hears is its own
        for stream in streams:
            await stream.leave()

    run(story)


@pytest.mark.parametrize("who", ["nobody", "altered", "ended"])
@pytest.mark.parametrize("bearer", [False, True])
def test_who_is_no_phone_of_a_shop_hears_nothing(ours, token, who, bearer):
    if who == "ended":
        Phone.objects.update(ended_ms=1)
    said = {"nobody": "", "altered": token.swapcase(), "ended": token}[who]

    async def story():
        stream = Stream(ours, said, bearer=bearer)
        assert (await stream.head())[0] == 401
        assert (await stream.sent.get())["body"] == b"This phone belongs to no shop here."
        await stream.task

    run(story)
    assert ours.hub.shops == {}


@pytest.mark.parametrize("method", ["POST", "PUT", "HEAD", "OPTIONS", "DELETE"])
def test_a_stream_is_only_for_reading(ours, token, method):
    async def story():
        assert (await Stream(ours, token, method).head())[0] == 405

    run(story)


def test_a_phone_that_is_ended_while_it_listens_is_let_go(ours, shop, token, monkeypatch):
    monkeypatch.setattr(hub, "RECHECK_S", 0.01)
    other = access.new_phone(shop, "painter", now_ms())[1]

    async def story():
        streams = [Stream(ours, one) for one in (token, other)]
        for stream in streams:
            await stream.head()
            await stream.next()
        await asyncio.to_thread(_closing, lambda: Phone.objects.filter(role="painter").update(ended_ms=1))
        assert await streams[1].next() == ""
        assert moved(await tap(shop)) == await streams[0].next()
        await streams[0].leave()

    run(story)


def test_a_quiet_stream_beats_so_that_nothing_on_the_way_closes_it(ours, token, monkeypatch):
    monkeypatch.setattr(sse, "BEAT_S", 0.01)

    async def story():
        stream = Stream(ours, token)
        await stream.head()
        assert [await stream.next() for _ in range(3)] == [moved(0), ":\n\n", ":\n\n"]
        await stream.leave()

    run(story)


def test_what_another_process_wrote_is_seen_by_looking(ours, looking, shop, token):
    async def story():
        stream = Stream(ours, token)
        await stream.head()
        assert await stream.next() == moved(0)
        await asyncio.to_thread(_closing, lambda: Shop.objects.filter(pk=shop.pk).update(seq=7))
        assert await stream.next() == moved(7)
        await stream.leave()

    run(story)


def test_an_old_notice_and_one_heard_twice_say_nothing(ours, shop, token):
    async def story():
        stream = Stream(ours, token)
        await stream.head()
        await stream.next()
        for seq in (5, 5, 4, 6):
            ours.hub.moved(shop.pk, seq)
            await asyncio.sleep(0)
        said = [await stream.next()]
        while said[-1] != moved(6):
            said.append(await stream.next())
        assert said in ([moved(5), moved(6)], [moved(6)])
        await stream.leave()

    run(story)


def test_acts_that_are_not_kept_after_all_are_not_told(ours, shop, token):
    def fails():
        with transaction.atomic():
            read_air(shop)
            transaction.set_rollback(True)

    async def story():
        stream = Stream(ours, token)
        await stream.head()
        await stream.next()
        await asyncio.to_thread(_closing, fails)
        assert stream.sent.empty()
        assert moved(await tap(shop)) == await stream.next() == moved(1)
        await stream.leave()

    run(story)


def test_one_phone_may_listen_a_dozen_times_and_no_more(ours, token):
    async def story():
        streams = [Stream(ours, token) for _ in range(limits.Limits.streams_of_phone)]
        assert {(await stream.head())[0] for stream in streams} == {200}
        assert (await Stream(ours, token).head())[0] == 429
        await streams[0].leave()
        again = Stream(ours, token)
        assert (await again.head())[0] == 200
        for stream in [*streams[1:], again]:
            await stream.leave()

    run(story)
    assert (ours.hub.shops, ours.hub._tasks) == ({}, [])


def test_when_the_server_stops_every_stream_ends(ours, token):
    async def story():
        streams = [Stream(ours, token) for _ in range(3)]
        for stream in streams:
            await stream.head()
            await stream.next()
        ours.hub.close()
        assert [await stream.next() for stream in streams] == [""] * 3

    run(story)
