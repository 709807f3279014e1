"""Shops and their phones, invites, rate limits, push subscriptions, thermometers and displays."""

import secrets
import uuid

from django.db import models


def new_key() -> str:
    """A shop's key: 256 random bits in hex."""
    return secrets.token_hex(32)


class Shop(models.Model):
    """One shop: the unit of locking, of sequence and of access."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=200)
    first_name = models.CharField(max_length=200, blank=True, help_text="what it was called before a keeper named it")
    zone = models.CharField(max_length=64, default="UTC", help_text="IANA time zone")
    seq = models.BigIntegerField(default=0, help_text="the last sequence number given to an act")
    epoch = models.UUIDField(
        default=uuid.uuid4, help_text="names the line of numbers that cursors belong to: new after a restore"
    )
    made_ms = models.BigIntegerField()
    seed_locale = models.CharField(
        max_length=8,
        blank=True,
        help_text="the locale of the default products and routes, while its log does not hold them",
    )
    key = models.CharField(
        max_length=64,
        default=new_key,
        editable=False,
        help_text="256 random bits in hex: signs what its phones hand to each other",
    )
    phrase_name = models.CharField(max_length=8, blank=True, help_text="the first group of the recovery phrase")
    phrase_hash = models.CharField(max_length=200, blank=True, help_text="of the other groups, slow and salted")

    door_open = models.BooleanField(
        default=True, help_text="as the one shop of an open host: whether a phone comes in without a code"
    )
    demo = models.BooleanField(default=False, help_text="a made-up floor to look at")

    class Meta:
        constraints = (
            models.UniqueConstraint(
                fields=["phrase_name"], condition=~models.Q(phrase_name=""), name="one_shop_a_phrase_name"
            ),
        )

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
    cursor = models.BigIntegerField(default=0, help_text="the last sequence that it confirmed")
    locale = models.CharField(max_length=8, default="en", help_text="of its pages, and of the alerts it is sent")

    def __str__(self) -> str:
        return self.name or str(self.id)


class Invite(models.Model):
    """A keeper's invitation for one phone: a secret in a link and a code to type, both single use and short-lived."""

    shop = models.ForeignKey(Shop, on_delete=models.CASCADE, related_name="invites")
    role = models.CharField(max_length=10, choices=Phone.Role.choices)
    secret_digest = models.CharField(max_length=64, unique=True)
    code_digest = models.CharField(max_length=64, unique=True)
    made_ms = models.BigIntegerField()
    until_ms = models.BigIntegerField()
    used_ms = models.BigIntegerField(null=True)
    asker_digest = models.CharField(
        max_length=64, blank=True, help_text="of the random number of the phone that used it"
    )
    phone = models.ForeignKey(Phone, on_delete=models.SET_NULL, null=True, related_name="+", help_text="that joined")

    def __str__(self) -> str:
        return f"{self.role} of {self.shop} until {self.until_ms}"


class RateLimit(models.Model):
    """A fixed-window counter for rate limiting: how often `key` was used in the window that ends at `until_ms`."""

    key = models.CharField(max_length=120)
    until_ms = models.BigIntegerField(db_index=True)
    count = models.IntegerField(default=0)

    class Meta:
        constraints = (models.UniqueConstraint(fields=["key", "until_ms"], name="one_count_a_span"),)

    def __str__(self) -> str:
        return f"{self.count} of {self.key}"


class Subscription(models.Model):
    """A phone's push subscription: its endpoint, and the keys that messages to it are encrypted with."""

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


class Device(models.Model):
    """What belongs to a shop and is no phone: it has a token of its own, which opens one address and nothing else."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4)
    name = models.CharField(max_length=60)
    token_digest = models.CharField(max_length=64, unique=True)
    made_ms = models.BigIntegerField()
    ended_ms = models.BigIntegerField(null=True)

    class Meta:
        abstract = True

    def __str__(self) -> str:
        return self.name


class Thermometer(Device):
    """A thermometer on the wall: its token may only post readings."""

    shop = models.ForeignKey(Shop, on_delete=models.CASCADE, related_name="thermometers")
    seen_ms = models.BigIntegerField(default=0, help_text="when it last posted a reading")
    last = models.JSONField(default=dict, help_text="its last reading: at, temp_dc, rh_pm")


class Display(Device):
    """A screen or script that shows the floor: its token may only read that."""

    shop = models.ForeignKey(Shop, on_delete=models.CASCADE, related_name="displays")
    seen_ms = models.BigIntegerField(default=0, help_text="when it last asked")
