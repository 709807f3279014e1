"""Where and who: a shop, its phones, and how a phone is told."""

import uuid

from django.db import models


class Shop(models.Model):
    """One shop: the unit of locking, of sequence and of access."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=200)
    zone = models.CharField(max_length=64, default="UTC", help_text="IANA time zone")
    seq = models.BigIntegerField(default=0, help_text="the last sequence number given to an act")
    memory = models.UUIDField(default=uuid.uuid4, help_text="new when the shop is put back from a backup")
    made_ms = models.BigIntegerField()

    def __str__(self) -> str:
        return self.name


class Phone(models.Model):
    """One phone, tablet or laptop of a shop; its token is kept as a SHA-256 digest only."""

    class Role(models.TextChoices):
        KEEPER = "keeper"
        PAINTER = "painter"
        WALL = "wall"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    shop = models.ForeignKey(Shop, on_delete=models.CASCADE, related_name="phones")
    name = models.CharField(max_length=200, blank=True)
    role = models.CharField(max_length=10, choices=Role.choices, default=Role.PAINTER)
    token_digest = models.CharField(max_length=64, unique=True)
    made_ms = models.BigIntegerField()
    seen_ms = models.BigIntegerField()
    ended_ms = models.BigIntegerField(null=True)

    def __str__(self) -> str:
        return self.name or str(self.id)


class Subscription(models.Model):
    """A phone's leave to be told through its browser's push service, and the keys to seal a message with."""

    phone = models.ForeignKey(Phone, on_delete=models.CASCADE, related_name="subscriptions")
    endpoint = models.CharField(max_length=1000, unique=True)
    p256dh = models.CharField(max_length=120)
    auth = models.CharField(max_length=40)
    home = models.CharField(max_length=300, help_text="the address at which this phone opens Sandtime")
    wants = models.JSONField(default=dict, help_text="kinds of rings, absent: all; quiet: minutes of the day")
    made_ms = models.BigIntegerField()
    last_ok_ms = models.BigIntegerField(null=True)
    fails = models.IntegerField(default=0, help_text="in a row")

    def __str__(self) -> str:
        return f"{self.phone} by {self.endpoint[:40]}"
