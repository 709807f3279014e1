"""What a phone keeps of a zone answers as Python's zone tables do."""

from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from .conftest import heard

NOW_MS = 1_795_000_000_000
KEPT = """async ([name, now, moments]) => {
  const { $data_clock: clock } = await import('/static/joined/floor.js');
  const { $data_zone: zones } = await import('/static/joined/actions.js');
  const kept = zones.spansOf(name, now);
  const at = clock.zoneOf(name, kept);
  return [kept.spans.length, moments.map((ms) => at(ms))];
}"""


@pytest.mark.parametrize(
    ("name", "moves"),
    [
        ("UTC", False),
        ("America/New_York", True),
        ("Australia/Lord_Howe", True),
        ("Asia/Kathmandu", False),
        ("Europe/Berlin", True),
    ],
)
def test_minutes_east_of_a_kept_zone_are_those_of_the_zone_tables(server, phones, name, moves):
    page = phones(server.address)
    moments = [NOW_MS + step * 13 * 900_000 for step in range(-4_000, 12_000, 7)]
    count, ours = page.evaluate(KEPT, [name, NOW_MS, moments])
    zone = ZoneInfo(name)
    wanted = [int(datetime.fromtimestamp(ms / 1000, zone).utcoffset().total_seconds() / 60) for ms in moments]
    assert ours == wanted
    assert (count > 1) == moves


def test_a_phone_keeps_the_zone_of_its_shop_once_it_was_heard(server, phones):
    page = phones(server.address)
    heard(page)
    page.wait_for_function("""() => new Promise((go) => { const open = indexedDB.open('sandtime');
      open.onsuccess = () => { const get = open.result.transaction('meta').objectStore('meta').get('zoned');
        get.onsuccess = () => { open.result.close(); go(Boolean(get.result?.value.spans.length)); }; }; })""")
