"""What happened, and what it comes to: the append-only log, the folded state of each thing, and what was told."""

import uuid

from django.db import models


class Act(models.Model):
    """What a person did, as an event: past tense, complete, never changed."""

    shop = models.ForeignKey("shop.Shop", on_delete=models.CASCADE, related_name="+")
    act_id = models.UUIDField()
    seq = models.BigIntegerField(help_text="given out under the shop's lock, without gaps")
    on = models.CharField(max_length=60)
    kind = models.CharField(max_length=40)
    at_ms = models.BigIntegerField()
    body = models.JSONField()
    phone = models.ForeignKey("shop.Phone", on_delete=models.SET_NULL, null=True, related_name="+")
    heard_ms = models.BigIntegerField()
    faded = models.BooleanField(default=False, help_text="no clock needs it any more: kept, neither folded nor sent")
    shop_bytes = models.BigIntegerField(default=0, help_text="of all acts of the shop up to this one")
    hearsay = models.BooleanField(
        default=False, db_default=False, help_text="names another phone as its maker, without that phone's mark"
    )

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["shop", "act_id"], name="one_act_once"),
            models.UniqueConstraint(fields=["shop", "seq"], name="one_seq_once"),
        )
        indexes = (models.Index(fields=["shop", "on", "faded"], name="acts_of_one_thing"),)

    def __str__(self) -> str:
        return f"{self.seq} {self.kind} on {self.on}"


class Folded(models.Model):
    """One thing (a panel, a product, a route, the air) as its acts make it, and the last sequence that is in it."""

    shop = models.ForeignKey("shop.Shop", on_delete=models.CASCADE, related_name="+")
    on = models.CharField(max_length=60)
    seq = models.BigIntegerField()
    state = models.JSONField()
    bytes = models.BigIntegerField(default=0, help_text="of its acts that clocks need")
    next_at_ms = models.BigIntegerField(
        null=True, default=0, help_text="when the ringer looks at it next: 0 at once, none when nothing of it can ring"
    )

    class Meta:
        constraints = (models.UniqueConstraint(fields=["shop", "on"], name="one_state_a_thing"),)
        indexes = (
            models.Index(fields=["shop", "seq"], name="changed_since"),
            models.Index(fields=["next_at_ms"], name="rings_next"),
            models.Index(fields=["shop"], condition=models.Q(next_at_ms__isnull=False), name="may_ring"),
        )

    def __str__(self) -> str:
        return f"{self.on} at {self.seq}"


class Told(models.Model):
    """A ring that the ringer took up: once, whatever became of it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    shop = models.ForeignKey("shop.Shop", on_delete=models.CASCADE, related_name="+")
    on = models.CharField(max_length=60)
    key = models.CharField(max_length=500)
    at_ms = models.BigIntegerField()
    claimed_ms = models.BigIntegerField()
    told_ms = models.BigIntegerField(null=True, help_text="when no phone was left to be told")
    said = models.JSONField(default=dict, help_text="title, body, tag, at, until_ms")

    class Meta:
        constraints = (models.UniqueConstraint(fields=["shop", "key"], name="one_ring_once"),)
        indexes = (models.Index(fields=["shop", "on"], name="told_of_one_thing"),)

    def __str__(self) -> str:
        return self.key


class Owed(models.Model):
    """A ring that one phone has still to be told: by whoever moves `try_ms` on from the value that was read."""

    told = models.ForeignKey(Told, on_delete=models.CASCADE, related_name="owed")
    subscription = models.ForeignKey("shop.Subscription", on_delete=models.CASCADE, related_name="+")
    try_ms = models.BigIntegerField(db_index=True)
    tries = models.IntegerField(default=0)

    class Meta:
        constraints = (models.UniqueConstraint(fields=["told", "subscription"], name="one_phone_once"),)

    def __str__(self) -> str:
        return f"{self.told} to {self.subscription}"
