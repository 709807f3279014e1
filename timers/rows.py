"""What every sync asks of the database, written out: Django takes several times as long to write it as the database to
answer it.  All else is asked through the models."""

import json
import uuid
from collections.abc import Iterable
from typing import NamedTuple

from shop.database import ask, locked, tell
from shop.models import Shop

STAND = """SELECT seq, memory,
    (SELECT MAX(cursor) FROM shop_phone WHERE shop_id = %s AND ended_ms IS NULL AND id <> %s),
    (SELECT act_id FROM timers_act WHERE shop_id = %s AND timers_act.seq = shop_shop.seq),
    (SELECT act_id FROM timers_act WHERE shop_id = %s AND timers_act.seq = %s)
    FROM shop_shop WHERE id = %s"""
NEW_MEMORY = "UPDATE shop_shop SET memory = %s WHERE id = %s AND memory = %s"
ACTS_BY_ID = "SELECT '', seq, body FROM timers_act WHERE shop_id = %s AND act_id IN ({})"
ACTS_OF_THINGS = 'SELECT "on", seq, body FROM timers_act WHERE shop_id = %s AND NOT faded AND "on" IN ({})'
NEW_ACTS = """INSERT INTO timers_act
    (shop_id, act_id, seq, "on", kind, at_ms, body, phone_id, heard_ms, faded) VALUES {}"""
NEW_STATES = """INSERT INTO timers_folded (shop_id, "on", seq, state, next_at_ms) VALUES {}
    ON CONFLICT (shop_id, "on") DO UPDATE SET
    seq = excluded.seq, state = excluded.state, next_at_ms = excluded.next_at_ms"""
LOOK_AGAIN = "UPDATE timers_folded SET next_at_ms = 0 WHERE shop_id = %s AND next_at_ms <> 0"
NAME = """UPDATE shop_shop SET first_name = CASE WHEN first_name = '' THEN name ELSE first_name END,
    name = CASE WHEN %s <> '' THEN %s WHEN first_name <> '' THEN first_name ELSE name END WHERE id = %s"""
STATES = 'SELECT "on", seq, state FROM timers_folded WHERE shop_id = %s AND seq > %s ORDER BY seq LIMIT %s'


class Stand(NamedTuple):
    """Where a shop stands: its last sequence, its memory, how far a phone other than the asker has heard, the id of the
    last act, and the id of the one at the asker's cursor ("" where none is there)."""

    seq: int
    memory: str
    seen: int
    last: str = ""
    at_cursor: str = ""


def stand(shop_id: uuid.UUID, phone_id: uuid.UUID | None, cursor: int = 0, lock: bool = False) -> Stand:
    """Where a shop stands; with `lock` nobody else moves it until the transaction ends."""
    given = shop_id, phone_id, shop_id, shop_id, cursor, shop_id
    found = ask(locked(STAND) if lock else STAND, *given)
    if not found:
        raise Shop.DoesNotExist
    seq, memory, seen, *ids = found[0]
    return Stand(seq, _id(memory), seen or 0, *(_id(one) if one else "" for one in ids))


def new_memory(shop_id: uuid.UUID, old: str) -> str:
    """The shop gets a new memory in the place of an old one; of many who ask at once one gives it.  What it is now."""
    tell(NEW_MEMORY, uuid.uuid4(), shop_id, uuid.UUID(old))
    ((memory,),) = ask("SELECT memory FROM shop_shop WHERE id = %s", shop_id)
    return _id(memory)


def acts(shop_id: uuid.UUID, ids: list[str], things: Iterable[str]) -> list[tuple[str, int, dict]]:
    """(thing, seq, act): acts by their ids, with no thing named, and of things all acts that clocks need."""
    words, given = [], []
    for one, keys in ((ACTS_BY_ID, [uuid.UUID(one) for one in ids]), (ACTS_OF_THINGS, list(things))):
        if keys:
            words.append(one.format(_places(len(keys))))
            given += [shop_id, *keys]
    found = ask(" UNION ALL ".join(words), *given) if words else []
    return _read(found)


def states(shop_id: uuid.UUID, cursor: int, most: int) -> list[tuple[str, int, dict]]:
    """(thing, seq, state) of what was folded since a cursor, by sequence."""
    return _read(ask(STATES, shop_id, cursor, most))


def add_acts(shop_id: uuid.UUID, phone_id: uuid.UUID | None, fresh: list[tuple[int, dict]], now_ms: int) -> None:
    """Acts with the sequence that each got."""
    rows = [
        (
            shop_id,
            uuid.UUID(one["id"]),
            seq,
            one["on"],
            one["kind"],
            one["at"],
            json.dumps(one),
            phone_id,
            now_ms,
            False,
        )
        for seq, one in fresh
    ]
    tell(NEW_ACTS.format(_rows(rows)), *_flat(rows))


def put_states(shop_id: uuid.UUID, folded: list[tuple[str, int, dict, int | None]]) -> None:
    """(thing, seq, state, when the ringer looks at it), in the place of what stood there."""
    rows = [(shop_id, on, seq, json.dumps(state), look) for on, seq, state, look in folded]
    tell(NEW_STATES.format(_rows(rows)), *_flat(rows))


def look_again(shop_id: uuid.UUID) -> None:
    """The ringer looks at all that may ring."""
    tell(LOOK_AGAIN, shop_id)


def name(shop_id: uuid.UUID, called: str) -> None:
    """The shop is called as a keeper named it; where no name stands, as it was called before."""
    tell(NAME, called, called, shop_id)


def move(shop_id: uuid.UUID, seq: int) -> None:
    """The shop has come to a sequence."""
    tell("UPDATE shop_shop SET seq = %s WHERE id = %s", seq, shop_id)


def _read(found: list[tuple]) -> list[tuple[str, int, dict]]:
    """The last column as what its JSON says: all as one text, which is read three times as fast as many."""
    said = json.loads(f"[{','.join(body for _, _, body in found)}]")
    return [(on, seq, body) for (on, seq, _), body in zip(found, said, strict=True)]


def _id(said) -> str:
    """An id with its dashes: SQLite gives 32 signs, PostgreSQL a UUID."""
    return str(uuid.UUID(str(said)))


def _places(count: int) -> str:
    return ", ".join(["%s"] * count)


def _rows(rows: list[tuple]) -> str:
    return ", ".join([f"({_places(len(rows[0]))})"] * len(rows))


def _flat(rows: list[tuple]) -> list:
    return [value for row in rows for value in row]
