"""Ids made by the rule against a reference library for UUIDs, and the example of the standard."""

import uuid

import pytest
import uuid_utils
from hypothesis import given
from hypothesis import strategies as st

from timers.core.acts import envelope

# RFC 9562, appendix A.6: Tuesday, 22 February 2022, 14:22:22 in the zone five hours west of UTC.
# The text was not seen here: the date is from memory; the reference library reads the same moment from the example.
EXAMPLE = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F"
EXAMPLE_MS = 1_645_557_742_000

MOMENTS = st.integers(0, 2**48 - 1)
TEN_BYTES = st.binary(min_size=10, max_size=10)


def test_the_example_of_the_standard_comes_out_bit_for_bit():
    random = bytes.fromhex(EXAMPLE.replace("-", ""))[6:]
    assert envelope.new_id(EXAMPLE_MS, random) == EXAMPLE.lower()
    assert uuid_utils.UUID(EXAMPLE).timestamp == EXAMPLE_MS


@given(MOMENTS, TEN_BYTES)
def test_a_reference_library_reads_version_variant_and_moment_from_every_id(at_ms, random):
    made = envelope.new_id(at_ms, random)
    read = uuid_utils.UUID(made)
    assert (read.version, read.variant, read.timestamp) == (7, uuid.RFC_4122, at_ms)
    assert str(read) == made


@given(MOMENTS, TEN_BYTES)
def test_every_random_bit_that_the_layout_has_room_for_is_kept(at_ms, random):
    number = uuid_utils.UUID(envelope.new_id(at_ms, random)).int
    given_number = int.from_bytes(random, "big")
    room = (1 << 80) - 1 - (0xF << 76) - (0b11 << 62)  # all but version and variant
    assert number & room == given_number & room


@given(MOMENTS, MOMENTS, TEN_BYTES, TEN_BYTES)
def test_ids_sort_as_text_by_their_moments(one_ms, other_ms, some, more):
    one, other = envelope.new_id(one_ms, some), envelope.new_id(other_ms, more)
    if one_ms != other_ms:
        assert (one < other) == (one_ms < other_ms)


@given(MOMENTS, TEN_BYTES)
def test_an_id_made_here_is_an_id_that_is_kept(at_ms, random):
    act = {"id": envelope.new_id(at_ms, random), "at": EXAMPLE_MS, "on": "air", "kind": "air_read", "temp_dc": 200}
    assert envelope.refusal(act, EXAMPLE_MS) == ""


def test_ids_of_the_reference_library_are_ids_that_are_kept():
    for _ in range(100):
        act = {"id": str(uuid_utils.uuid7()), "at": EXAMPLE_MS, "on": "air", "kind": "air_read", "temp_dc": 200}
        assert envelope.refusal(act, EXAMPLE_MS) == ""


@pytest.mark.parametrize("other", [uuid_utils.uuid1, uuid_utils.uuid4, uuid_utils.uuid6])
def test_ids_of_other_versions_are_not(other):
    act = {"id": str(other()), "at": EXAMPLE_MS, "on": "air", "kind": "air_read", "temp_dc": 200}
    assert envelope.refusal(act, EXAMPLE_MS) == "This tap has no proper number of its own."


def test_a_thousand_ids_of_one_moment_are_a_thousand():
    made = {envelope.new_id(EXAMPLE_MS, bytes([0, 0, *at.to_bytes(8, "big")])) for at in range(1000)}
    assert len(made) == 1000
