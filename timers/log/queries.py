"""The queries of every sync as SQL: Django takes several times as long to build them as the database to answer them.
All other queries go through the models."""

import json
import uuid
from bisect import bisect_right
from collections.abc import Iterable
from itertools import accumulate
from typing import NamedTuple

from shop.base.database import execute, for_update, query
from shop.security.errors import UnknownPhone

from ..defaults import initial_acts
from ..defaults.initial_acts import Beginning

STAND = """SELECT seq, epoch, seed_locale, made_ms,
    (SELECT MAX(cursor) FROM shop_phone WHERE shop_id = %s AND ended_ms IS NULL AND id <> %s),
    (SELECT act_id FROM timers_act WHERE shop_id = %s AND timers_act.seq = shop_shop.seq),
    (SELECT act_id FROM timers_act WHERE shop_id = %s AND timers_act.seq = %s)
    FROM shop_shop WHERE id = %s"""
NEW_EPOCH = "UPDATE shop_shop SET epoch = %s WHERE id = %s AND epoch = %s"
ACTS_BY_ID = """SELECT '', seq, CASE WHEN hearsay THEN phone_id END, body FROM timers_act
    WHERE shop_id = %s AND act_id IN ({})"""
ACTS_OF_THINGS = """SELECT "on", seq, CASE WHEN hearsay THEN phone_id END, body FROM timers_act
    WHERE shop_id = %s AND archived = FALSE AND "on" IN ({})"""
BYTES_OF_SHOP = "SELECT '#', shop_bytes, NULL, '{{}}' FROM timers_act WHERE shop_id = %s AND seq = %s"
BYTES_OF_THINGS = 'SELECT SUM(bytes) FROM timers_thingstate WHERE shop_id = %s AND "on" IN ({})'
NEW_ACTS = """INSERT INTO timers_act
    (shop_id, act_id, seq, "on", kind, at_ms, body, phone_id, received_ms, archived, shop_bytes, hearsay) VALUES {}"""
NEW_STATES = """INSERT INTO timers_thingstate (shop_id, "on", seq, state, bytes, next_at_ms) VALUES {}
    ON CONFLICT (shop_id, "on") DO UPDATE SET
    seq = excluded.seq, state = excluded.state, bytes = excluded.bytes, next_at_ms = excluded.next_at_ms"""
LOOK_AGAIN = """UPDATE timers_thingstate SET next_at_ms = 0
    WHERE shop_id = %s AND next_at_ms IS NOT NULL AND next_at_ms <> 0"""
NAME = """UPDATE shop_shop SET first_name = CASE WHEN first_name = '' THEN name ELSE first_name END,
    name = CASE WHEN %s <> '' THEN %s WHEN first_name <> '' THEN first_name ELSE name END WHERE id = %s"""
FURNISHED = "UPDATE shop_shop SET seed_locale = '', epoch = %s WHERE id = %s"
PAGE = "SELECT seq, bytes FROM timers_thingstate WHERE shop_id = %s AND seq > %s ORDER BY seq LIMIT %s"
ALL = 2**62
STATES = 'SELECT "on", seq, state FROM timers_thingstate WHERE shop_id = %s AND seq > %s AND seq <= %s ORDER BY seq'


class Stand(NamedTuple):
    """Where a shop stands: its last sequence, its epoch, how far a phone other than the asker has heard; how it began,
    while its log does not hold what it began with; the id of the last act, and of the one at the asker's cursor (""
    where none is there)."""

    seq: int
    epoch: str
    seen: int
    begun: Beginning | None = None
    last: str = ""
    at_cursor: str = ""


def stand(shop_id: uuid.UUID, phone_id: uuid.UUID | None, cursor: int = 0, lock: bool = False) -> Stand:
    """Where a shop stands; with `lock` nobody else moves it until the transaction ends.  UnknownPhone if it was
    deleted since its phone was looked up."""
    given = shop_id, phone_id, shop_id, shop_id, cursor, shop_id
    result = query(for_update(STAND) if lock else STAND, *given)
    if not result:
        raise UnknownPhone
    seq, epoch, seed_locale, made_ms, seen, last, at_cursor = result[0]
    epoch = uuid.UUID(str(epoch))
    if not seed_locale:
        return Stand(seq, str(epoch), seen or 0, None, _id(last), _id(at_cursor))
    begun = Beginning(seed_locale, made_ms)
    return Stand(initial_acts.count(), str(initial_acts.epoch(epoch, begun)), seen or 0, begun)


def new_epoch(shop_id: uuid.UUID, old: str) -> str:
    """Replace an old epoch of a shop by a new one, once however many ask at the same time; the epoch it has now."""
    execute(NEW_EPOCH, uuid.uuid4(), shop_id, uuid.UUID(old))
    ((epoch,),) = query("SELECT epoch FROM shop_shop WHERE id = %s", shop_id)
    return _id(epoch)


def acts(shop_id: uuid.UUID, ids: list[str], things: Iterable[str]) -> list[tuple[str, int, str, dict]]:
    """(thing, seq, poster, act): acts by their ids, with "" as their thing, and all acts of things that clocks need.
    The poster is the id of a phone if the act is hearsay, else ""."""
    return [row[:4] for row in _acts(shop_id, ids, things)]


def logs(shop_id: uuid.UUID, ids: list[str], things: Iterable[str], seq: int) -> tuple[int, list]:
    """The bytes of all acts of a shop that stands at a sequence, and the rows of `acts` with their bytes: (thing, seq,
    poster, act, bytes)."""
    rows = _acts(shop_id, ids, things, seq)
    return sum(row[1] for row in rows if row[0] == "#"), [row for row in rows if row[0] != "#"]


def bytes_of(shop_id: uuid.UUID, things: Iterable[str]) -> int:
    """The bytes of the acts of things that clocks need."""
    things = list(things)
    return int(query(BYTES_OF_THINGS.format(_places(len(things))), shop_id, *things)[0][0] or 0)


def states(shop_id: uuid.UUID, cursor: int, most: int, bytes_: int) -> tuple[list[tuple[str, int, dict]], bool]:
    """(thing, seq, state) of what was folded since a cursor, by sequence, and whether there is more.  At most `most`
    things and `bytes_` bytes of their acts, but at least one thing."""
    page = query(PAGE, shop_id, cursor, most + 1)
    sums = list(accumulate(weight for _, weight in page))
    fit = max(1, min(most, bisect_right(sums, bytes_)))
    more = len(page) > fit
    upto = page[fit - 1][0] if more else ALL  # also what changed since the query above, or the answer were incomplete
    return [row[:3] for row in _read(query(STATES, shop_id, cursor, upto))], more


def add_acts(
    shop_id, phone_id: uuid.UUID | None, fresh: list, shop_bytes: int, now_ms: int, hearsay=frozenset()
) -> None:
    """Insert new acts, [(seq, act), ...]; `shop_bytes` is the size of the acts that the shop had before, `hearsay` the
    ids of those that are hearsay."""
    rows = []
    for seq, one in fresh:
        body = json.dumps(one)
        shop_bytes += len(body)
        of = (uuid.UUID(one["id"]), seq, one["on"], one["kind"], one["at"], body)
        rows.append((shop_id, *of, phone_id, now_ms, False, shop_bytes, one["id"] in hearsay))
    execute(NEW_ACTS.format(_rows(rows)), *_flat(rows))


def put_states(shop_id: uuid.UUID, folded: list[tuple[str, int, dict, int, int | None]]) -> None:
    """Insert or replace states: (thing, seq, state, bytes of its acts, when the ringer looks at it)."""
    rows = [(shop_id, on, seq, json.dumps(state), size, look) for on, seq, state, size, look in folded]
    execute(NEW_STATES.format(_rows(rows)), *_flat(rows))


def look_again(shop_id: uuid.UUID) -> None:
    """Have the ringer look at all that may ring."""
    execute(LOOK_AGAIN, shop_id)


def name(shop_id: uuid.UUID, called: str) -> None:
    """Name the shop; "" gives it the name back that it began with."""
    execute(NAME, called, called, shop_id)


def furnished(shop_id: uuid.UUID, epoch: str) -> None:
    """The log holds the default products and routes, under the epoch that phones know them by."""
    execute(FURNISHED, uuid.UUID(epoch), shop_id)


def move(shop_id: uuid.UUID, seq: int) -> None:
    """Set the last sequence of the shop."""
    execute("UPDATE shop_shop SET seq = %s WHERE id = %s", seq, shop_id)


def _acts(shop_id: uuid.UUID, ids: list[str], things: Iterable[str], seq: int | None = None) -> list[tuple]:
    words, given = [], []
    for one, keys in ((ACTS_BY_ID, [uuid.UUID(one) for one in ids]), (ACTS_OF_THINGS, list(things))):
        if keys:
            words.append(one.format(_places(len(keys))))
            given += [shop_id, *keys]
    if seq is not None:
        words.append(BYTES_OF_SHOP.format())
        given += [shop_id, seq]
    rows = query(" UNION ALL ".join(words), *given) if words else []
    parsed = _read([(on, seq, body) for on, seq, _, body in rows])
    return [(on, seq, _id(by), act, size) for (*_, by, _), (on, seq, act, size) in zip(rows, parsed, strict=True)]


def _read(rows: list[tuple]) -> list[tuple[str, int, dict, int]]:
    """Rows with their last column parsed from JSON, and its size.  Parsing them as one text is three times as fast."""
    bodies = json.loads(f"[{','.join(text for _, _, text in rows)}]")
    return [(on, seq, body, len(text)) for (on, seq, text), body in zip(rows, bodies, strict=True)]


def _id(value: object) -> str:
    """An id with its dashes, "" if there is none: SQLite gives 32 hex digits, PostgreSQL a UUID."""
    return str(uuid.UUID(str(value))) if value else ""


def _places(count: int) -> str:
    return ", ".join(["%s"] * count)


def _rows(rows: list[tuple]) -> str:
    return ", ".join([f"({_places(len(rows[0]))})"] * len(rows))


def _flat(rows: list[tuple]) -> list:
    return [value for row in rows for value in row]
