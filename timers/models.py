"""The append-only log of acts, the folded state of each thing, and the alerts that phones are sent."""

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
    received_ms = models.BigIntegerField()
    archived = models.BooleanField(default=False, help_text="no clock needs it any more: kept, neither folded nor sent")
    shop_bytes = models.BigIntegerField(default=0, help_text="of all acts of the shop up to this one")
    hearsay = models.BooleanField(
        default=False, db_default=False, help_text="names another phone as its maker, without that phone's mark"
    )

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["shop", "act_id"], name="one_act_once"),
            models.UniqueConstraint(fields=["shop", "seq"], name="one_seq_once"),
        )
        indexes = (models.Index(fields=["shop", "on", "archived"], name="acts_of_one_thing"),)

    def __str__(self) -> str:
        return f"{self.seq} {self.kind} on {self.on}"


class ThingState(models.Model):
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


class Alert(models.Model):
    """A ring that the ringer took up: one row for each ring, whether or not a phone was sent it."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    shop = models.ForeignKey("shop.Shop", on_delete=models.CASCADE, related_name="+")
    on = models.CharField(max_length=60)
    key = models.CharField(max_length=500)
    at_ms = models.BigIntegerField()
    claimed_ms = models.BigIntegerField()
    closed_ms = models.BigIntegerField(null=True, help_text="when its last delivery was sent or dropped")
    payload = models.JSONField(default=dict, help_text="title, body, tag, at, until_ms")

    class Meta:
        constraints = (models.UniqueConstraint(fields=["shop", "key"], name="one_ring_once"),)
        indexes = (models.Index(fields=["shop", "on"], name="alerts_of_one_thing"),)

    def __str__(self) -> str:
        return self.key


class Delivery(models.Model):
    """An alert that one phone has still to be sent: by whichever ringer moves `try_ms` on from the value it read."""

    alert = models.ForeignKey(Alert, on_delete=models.CASCADE, related_name="deliveries")
    subscription = models.ForeignKey("shop.Subscription", on_delete=models.CASCADE, related_name="+")
    try_ms = models.BigIntegerField(db_index=True)
    tries = models.IntegerField(default=0)

    class Meta:
        constraints = (models.UniqueConstraint(fields=["alert", "subscription"], name="one_delivery_a_phone"),)

    def __str__(self) -> str:
        return f"{self.alert} to {self.subscription}"
