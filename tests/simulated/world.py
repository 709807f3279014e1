"""The phones of one shop on a bad network, against the real server code; everything hangs on one seed.

The world keeps a second record of what the server must hold, reckoned apart from it, and checks every answer by that.
"""

import json
import random
from collections import Counter
from contextlib import ExitStack
from unittest import mock

from shop.security import access
from tests.random_logs import logs
from tests.simulated import phone as people
from tests.simulated.phone import Phone, fold
from timers.core.acts import envelope as rules
from timers.core.base.units import DAY_MS, HOUR_MS, MINUTE_MS
from timers.log import reader, sync, writer
from timers.log.epoch import Heard
from timers.web import pages

FATES = {"heard": 12, "asked in vain": 3, "answer lost": 4, "repeated": 3, "late": 3}
JUNK = [5, "a tap", [], {}, True, 1.5, [[[]]], {"id": None}, {"id": "\ud800"}, {"id": "x", "at": 10**40}]


class World:
    """One shop, its phones, the requests still under way, and what the server must hold by now."""

    def __init__(self, seed: int, over_http=None):
        self.rnd, self.over_http = random.Random(seed), over_http
        self.now_ms = logs.NOW_MS + self.rnd.randint(0, 300) * DAY_MS
        self.shop = access.new_shop("Any garage", "UTC", self.now_ms)
        self.phones = [self._phone() for _ in range(self.rnd.choice([2, 2, 3, 4]))]
        self.late: list[tuple] = []
        self.log: dict[str, dict] = {}  # the acts that the server must hold, in order
        self.seqs: dict[str, int] = {}
        self.saw: Counter = Counter()
        self.hostile = people.hostile_acts(self.rnd)

    def live(self) -> None:
        """The shop's day: a common start, then taps, silence, crossed and lost requests."""
        with self.small_pages():
            for act in people.common_start(self.rnd, self.phones[0].now(self.now_ms)):
                self.phones[0].keep(act)
            for phone in self.phones if self.rnd.random() < 0.8 else []:
                self.ask(phone, "heard")
            deeds = {self.tap: 18, self.ask: 8, self.arrive: 2, self.pass_time: 3, self.stranger: 1}
            for _ in range(self.rnd.randint(10, 26)):
                self.rnd.choices(list(deeds), list(deeds.values()))[0](self.rnd.choice(self.phones))
            self.heal()

    def small_pages(self) -> ExitStack:
        patches = ExitStack()
        patches.enter_context(mock.patch.object(reader, "PAGE", self.rnd.choice([1, 2, 4, 200, 200, 200])))
        patches.enter_context(mock.patch.object(sync, "MOST_ACTS", self.rnd.choice([2, 5, 200, 200, 200, 200])))
        patches.enter_context(mock.patch.object(pages, "now_ms", self.clock))
        return patches

    def clock(self) -> int:
        return self.now_ms

    def heal(self) -> None:
        """The network is good: what is under way arrives in any order, then each phone asks until it is told all."""
        self.rnd.shuffle(self.late)
        while self.late:
            self.arrive()
        for _ in range(100):
            restless = [phone for phone in self.phones if phone.unsent() or phone.cursor < len(self.log)]
            if not restless:
                return
            self.ask(self.rnd.choice(restless), "heard")
        raise AssertionError("the phones never came to rest")

    def tap(self, phone: Phone) -> None:
        act = people.tap(self.rnd, phone, phone.now(self.now_ms), self.hostile)
        if act:
            phone.keep(act)
            assert phone.view(act["on"]) == self.truth(phone, act["on"])

    def ask(self, phone: Phone, fate: str = "") -> None:
        """A phone posts its outbox; what the network does to that is its fate."""
        fate = fate or self.rnd.choices(list(FATES), list(FATES.values()))[0]
        self.saw[fate] += 1
        if phone.mood != "heard" or not phone.known:
            if fate == "asked in vain":
                return phone.fail(0, "", [])
            if self.rnd.random() < 0.6:  # else the answer was so slow that it says nothing about the time
                phone.learn(self.now_ms, self.now_ms)
        batch = phone.batch()
        request = (phone, json.dumps([row["act"] for row in batch]), phone.cursor)
        if fate == "late" or (fate == "answer lost" and self.rnd.random() < 0.3):
            self.late.append(request)
        if fate == "repeated":
            self.post(*request)
        status, answer = self.post(*request) if fate in ("heard", "repeated", "answer lost") else (0, "")
        if status != 200 or fate == "answer lost":
            return phone.fail(status if fate != "answer lost" else 0, answer, batch)
        return self.hear(phone, batch, answer, fate)

    def hear(self, phone: Phone, batch: list[dict], answer: dict, fate: str) -> None:
        assert answer["cursor"] >= phone.cursor
        self.check_fragments(phone, answer)
        if self.rnd.random() < 0.6:
            phone.learn(answer["now"], self.now_ms)
        made = [row["act"] for row in phone.outbox.values() if not row["why"]]
        phone.hear(answer)
        wrong = {row["act"]["id"] for row in phone.refused()}
        self.saw["vanished"] += sum(act["id"] not in wrong and act not in phone.acts_of(act["on"]) for act in made)
        for on in phone.ons():
            assert phone.view(on) == self.truth(phone, on)
        self.saw["pages"] += answer["more"]
        if answer["more"] or len(phone.unsent()) > len(batch):
            self.ask(phone, fate if fate == "heard" else "")

    def check_fragments(self, phone: Phone, answer: dict) -> None:
        """Up to its cursor a phone has everything: each thing that last moved before it, with all its acts."""
        fragments = {**phone.things, **{fragment["on"]: fragment for fragment in answer["fragments"]}}
        for fragment in answer["fragments"]:
            assert fragment["state"] == fold(fragment["on"], self.shuffled(fragment["acts"]))
        by_thing: dict[str, set] = {}
        for act in self.log.values():
            by_thing.setdefault(act["on"], set()).add(act["id"])
        for on, ids in by_thing.items():
            if max(self.seqs[act_id] for act_id in ids) <= answer["cursor"]:
                assert {act["id"] for act in fragments[on]["acts"]} == ids

    def arrive(self, _phone: Phone | None = None) -> None:
        """A request that was thought lost reaches the server after all, out of order; nobody hears the answer."""
        if self.late:
            self.post(*self.late.pop(self.rnd.randrange(len(self.late))))
            self.saw["arrived late"] += 1

    def pass_time(self, phone: Phone) -> None:
        """Minutes to a day go by; once in a while someone sets a phone's clock, or throws a refused tap away."""
        self.now_ms += self.rnd.choice([MINUTE_MS, 20 * MINUTE_MS, 3 * HOUR_MS, DAY_MS])
        if self.rnd.random() < 0.2:
            phone.skew_ms = self.rnd.randint(-36, 36) * HOUR_MS
        for row in phone.refused() if self.rnd.random() < 0.1 else []:
            phone.throw_away(row["act"]["id"])

    def stranger(self, phone: Phone) -> None:
        """A thermometer with a fault posts under this phone's token: broken acts, junk, and one good reading."""
        good = people.common_start(self.rnd, self.now_ms)[0]
        junk = [logs.broken_act(self.rnd), self.rnd.choice(JUNK), logs.broken_act(self.rnd)]
        self.post(phone, json.dumps([*junk, good][-sync.MOST_ACTS :]), 0)
        self.saw["stranger"] += 1

    def post(self, phone: Phone, batch: str, cursor: int) -> tuple[int, dict | str]:
        acts = json.loads(batch)
        status, answer = (self.over_http or direct)(phone, batch, cursor, self.now_ms)
        if status == 200:
            self.judge(acts, answer["verdicts"])
        else:
            assert status == 413
            assert len(acts) > sync.MOST_ACTS
            self.saw["too many"] += 1
        return status, answer

    def judge(self, acts: list, verdicts: list[dict]) -> None:
        """Every act got the verdict it must have, whatever stood beside it; no phone here is a keeper's."""
        for act, verdict in zip(acts, verdicts, strict=True):
            named = act["id"] if isinstance(act, dict) and isinstance(act.get("id"), str) else None
            assert verdict["id"] == named
            before = self.log.get(named)
            bad = before != act if before else rules.refusal(act, self.now_ms) != "" or act["kind"] == "shop_named"
            assert verdict["verdict"] == (writer.REFUSED if bad else writer.ALREADY if before else writer.KEPT)
            self.saw[verdict["verdict"]] += 1
            if bad:
                assert len(verdict["why"]) > 20
                continue
            self.log[act["id"]] = act
            assert verdict["seq"] == self.seqs.setdefault(act["id"], len(self.log))

    def truth(self, phone: Phone, on: str) -> dict:
        """The server's acts that the phone has, and its own, folded afresh in any order."""
        heard = phone.things[on]["acts"] if on in phone.things else []
        return fold(on, self.shuffled(heard) + self.shuffled(phone.own(on)))

    def shuffled(self, acts: list) -> list:
        return self.rnd.sample(acts, len(acts))

    def _phone(self) -> Phone:
        row, token = access.new_phone(self.shop, "painter", self.now_ms)
        return Phone(row, token, self.rnd.choice([0, self.rnd.randint(-36 * HOUR_MS, 36 * HOUR_MS)]))


def direct(phone: Phone, batch: str, cursor: int, now_ms: int) -> tuple[int, dict | str]:
    """The road without HTTP: what the view does, and the answer as it comes out of JSON."""
    try:
        answer = sync.exchange(phone.row, sync.acts_of(sync.parse_json(batch)), Heard(cursor), now_ms)
    except sync.TooManyActs:
        return 413, "Too many taps at once."
    return 200, json.loads(json.dumps(answer))
