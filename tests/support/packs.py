"""What one phone hands to another, opened and made by a second hand: written from the words below.

A packed part is letters for bytes: version 1 | shop 4 | set 8 | part 1 | of 1 | piece | signature 16.  The pieces of
all parts, in order, are the deflated JSON of {"acts": [...]}.  A part is signed by HMAC-SHA-256 under the shop's key
over "sandtime part 1\n" and all bytes before the signature, cut to 16 bytes; `set` is the first 8 bytes of the same
over "sandtime set 1\n" and the whole body.
"""

import hashlib
import hmac
import json
import zlib

SIGNS = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ$-/.:"


def letters(data: bytes) -> str:
    said = ""
    for at in range(0, len(data), 2):
        pair = data[at : at + 2]
        number = int.from_bytes(pair, "big")
        for _ in range(len(pair) + 1):
            number, sign = divmod(number, 41)
            said += SIGNS[sign]
    return said


def unlettered(text: str) -> bytes:
    data = b""
    for at in range(0, len(text), 3):
        group = text[at : at + 3]
        number = sum(SIGNS.index(sign) * 41**place for place, sign in enumerate(group))
        data += number.to_bytes(len(group) - 1, "big")
    return data


def signed(key: str, what: str, data: bytes) -> bytes:
    return hmac.new(bytes.fromhex(key), f"sandtime {what} 1\n".encode() + data, hashlib.sha256).digest()


def made(acts: object, key: str, shop: str, of: int = 1, version: int = 1, body: bytes | None = None) -> list[str]:
    """Packed parts of a set; the body may be anything."""
    body = squeezed(json.dumps({"acts": acts}).encode()) if body is None else body
    mark = signed(key, "set", body)[:8]
    size = -(-len(body) // of)
    parts = []
    for no in range(1, of + 1):
        head = bytes([version, *bytes.fromhex(shop[:8]), *mark, no, of])
        part = head + body[(no - 1) * size : no * size]
        parts.append(letters(part + signed(key, "part", part)[:16]))
    return parts


def squeezed(data: bytes) -> bytes:
    squeezer = zlib.compressobj(9, zlib.DEFLATED, -15)
    return squeezer.compress(data) + squeezer.flush()


def opened(parts: list[str], key: str, shop: str) -> list:
    """The acts in a whole set of parts, in any order; every length, mark and signature asserted."""
    pieces, marks = {}, set()
    for packed in parts:
        data = unlettered(packed)
        part, sign = data[:-16], data[-16:]
        assert part[:5] == bytes([1, *bytes.fromhex(shop[:8])])
        assert sign == signed(key, "part", part)[:16]
        marks.add((part[5:13], part[14]))
        pieces[part[13]] = part[15:]
    ((mark, of),) = marks
    assert sorted(pieces) == list(range(1, of + 1))
    body = b"".join(pieces[no] for no in sorted(pieces))
    assert mark == signed(key, "set", body)[:8]
    return json.loads(zlib.decompress(body, -15))["acts"]
