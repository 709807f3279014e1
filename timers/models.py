"""What happened, and what it comes to: the append-only log and the folded state of each thing."""

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

    class Meta:
        constraints = (
            models.UniqueConstraint(fields=["shop", "act_id"], name="one_act_once"),
            models.UniqueConstraint(fields=["shop", "seq"], name="one_seq_once"),
        )
        indexes = (models.Index(fields=["shop", "on"], name="acts_of_one_thing"),)

    def __str__(self) -> str:
        return f"{self.seq} {self.kind} on {self.on}"


class Folded(models.Model):
    """One thing (a panel, a product, a route, the air) as its acts make it, and the last sequence that is in it."""

    shop = models.ForeignKey("shop.Shop", on_delete=models.CASCADE, related_name="+")
    on = models.CharField(max_length=60)
    seq = models.BigIntegerField()
    state = models.JSONField()

    class Meta:
        constraints = (models.UniqueConstraint(fields=["shop", "on"], name="one_state_a_thing"),)
        indexes = (models.Index(fields=["shop", "seq"], name="changed_since"),)

    def __str__(self) -> str:
        return f"{self.on} at {self.seq}"
