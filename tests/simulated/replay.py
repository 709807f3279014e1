"""What the small server was asked in a schedule, asked of the real one: every answer must be the same."""

import json
from unittest import mock

from django.db import transaction

from shop.models import Phone, Shop
from shop.security import access
from timers.log import reader, sync
from timers.log.epoch import Heard
from timers.models import Act, ThingState

TOLD = ("verdicts", "fragments", "cursor", "cursor_act", "more")


def replayed(world: dict) -> int:
    """How many posts of one schedule the real server answered as the small one did; AssertionError for the first that
    it answered otherwise."""
    with transaction.atomic():
        try:
            return Replay(world).run(world["posts"])
        finally:
            transaction.set_rollback(True)


class Replay:
    """One shop on the real server; phones and epochs have other names there than in the schedule."""

    def __init__(self, world: dict):
        self.seed, self.page, self.most = world["seed"], world["page"], world["mostActs"]
        self.shop = access.new_shop("Any garage", "UTC", 1_700_000_000_000)
        self.epochs: dict[str, str] = {}
        self.copies: dict[int, tuple] = {}

    def run(self, posts: list[dict]) -> int:
        with mock.patch.object(reader, "PAGE", self.page), mock.patch.object(sync, "MOST_ACTS", self.most):
            for nth, post in enumerate(posts):
                if "copied" in post:
                    self.copies[post["copied"]] = self.copy()
                elif "putBack" in post:
                    self.put_back(post)
                else:
                    self.ask(nth, post)
        return sum("asked" in post for post in posts)

    def ask(self, nth: int, post: dict) -> None:
        asked = post["asked"]
        phone, _ = Phone.objects.get_or_create(
            pk=post["phone"],
            defaults={"shop": self.shop, "role": "painter", "made_ms": 0, "seen_ms": 0, "token_digest": post["phone"]},
        )
        heard = Heard(int(asked["cursor"]), self.epochs.get(asked["memory"], asked["memory"]), asked["cursor_act"])
        phone.shop = Shop.objects.get(pk=self.shop.pk)
        try:
            answer = sync.exchange(phone, sync.acts_of(asked["acts"]), heard, post["now"])
        except sync.TooManyActs:
            assert post["status"] == 413
            return
        said = json.loads(json.dumps(answer))
        for key in TOLD:
            assert said[key] == post["answer"][key], f"schedule {self.seed}, post {nth}: {key}"
        known = self.epochs.setdefault(post["answer"]["memory"], said["memory"])
        assert known == said["memory"], f"schedule {self.seed}, post {nth}: epoch"

    def copy(self) -> tuple:
        """All rows that a backup holds."""
        shop = Shop.objects.get(pk=self.shop.pk)
        return shop.seq, shop.epoch, list(Act.objects.filter(shop=shop)), list(ThingState.objects.filter(shop=shop))

    def put_back(self, post: dict) -> None:
        """The rows of a copy, with a new epoch unless it is done behind the server's back."""
        seq, epoch, acts, states = self.copies[post["putBack"]]
        for model, rows in ((Act, acts), (ThingState, states)):
            model.objects.filter(shop=self.shop).delete()
            model.objects.bulk_create(rows)
        if not post["isSilent"]:
            epoch = post["epoch"]
            self.epochs[epoch] = epoch
        Shop.objects.filter(pk=self.shop.pk).update(seq=seq, epoch=epoch)
