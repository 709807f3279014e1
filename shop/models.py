"""Where and who: a shop and its phones."""

import uuid

from django.db import models


class Shop(models.Model):
    """One shop: the unit of locking, of sequence and of access."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=200)
    zone = models.CharField(max_length=64, default="UTC", help_text="IANA time zone")
    seq = models.BigIntegerField(default=0, help_text="the last sequence number given to an act")
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
