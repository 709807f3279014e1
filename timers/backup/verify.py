"""Checks a backup before it is restored: known rows, acts numbered without a gap, things that can be folded."""

from collections import Counter, defaultdict

from django.core.exceptions import FieldDoesNotExist
from django.core.serializers.base import DeserializationError
from django.core.serializers.python import Deserializer
from django.db.models import Model

from ..log import writer
from ..models import Act

NEW_NAMES = {  # in backups made before the migrations "standard_names": model -> its name now, {field -> its name now}
    "shop.shop": ("shop.shop", {"memory": "epoch", "begun_in": "seed_locale"}),
    "shop.phone": ("shop.phone", {"tongue": "locale"}),
    "shop.opening": ("shop.invite", {}),
    "shop.count": ("shop.ratelimit", {}),
    "timers.act": ("timers.act", {"heard_ms": "received_ms", "faded": "archived"}),
    "timers.told": ("timers.alert", {"told_ms": "closed_ms", "said": "payload"}),
    "timers.owed": ("timers.delivery", {"told": "alert"}),
}


class BackupError(ValueError):
    """A backup cannot be restored; the text says why, to the host."""


class Checkup:
    """Takes the rows of a backup one by one, then `finish` it.  `counts` are the rows by model label."""

    def __init__(self):
        self.counts: Counter = Counter()
        self.last_seq: dict = {}  # shop -> the last sequence that it gave out
        self.tallies: defaultdict = defaultdict(lambda: [0, 0, 0])  # shop -> count, sum and maximum of its seqs
        self.thing, self.acts = None, []

    def take(self, row: dict) -> None:
        """Count and check one row, {"model", "pk", "fields"}; Broken if it is invalid."""
        model = row.get("model")
        one = instance_of(row)
        self.counts[model] += 1
        if model == "shop.shop":
            self.last_seq[one.pk] = 0 if one.seed_locale else one.seq  # what it began with is not in its log yet
        elif model == "timers.act":
            self._take_act(one)

    def finish(self) -> None:
        """Check the whole; Broken if acts of a shop are missing or belong to no shop."""
        self._fold()
        for shop, last in self.last_seq.items():
            if self.tallies[shop] != [last, last * (last + 1) // 2, last]:
                raise BackupError(f"Taps of the shop {shop} are missing: {self.tallies[shop][0]} of {last} are there.")
        if set(self.tallies) - set(self.last_seq):
            raise BackupError("There are taps of a shop that is not in this backup.")

    def words(self) -> str:
        """ "2 shops, 5 phones, 1204 taps"."""
        names = {"shop.shop": "shop", "shop.phone": "phone", "timers.act": "tap"}
        counts = [(self.counts[model], name) for model, name in names.items()]
        return ", ".join(f"{count} {name}{'' if count == 1 else 's'}" for count, name in counts)

    def _take_act(self, act: Act) -> None:
        if not isinstance(act.body, dict) or act.body.get("id") != str(act.act_id) or act.body.get("on") != act.on:
            raise BackupError(f"The tap {act.act_id} is not what its number says.")
        count, total, last = self.tallies[act.shop_id]
        self.tallies[act.shop_id] = [count + 1, total + act.seq, max(last, act.seq)]
        if (act.shop_id, act.on) != self.thing:
            self._fold()
            self.thing, self.acts = (act.shop_id, act.on), []
        self.acts.append(act.body)

    def _fold(self) -> None:
        try:
            if self.thing:
                writer.folded(self.thing[1], self.acts)
        except Exception as why:
            raise BackupError(f"Sandtime cannot reckon with the taps on {self.thing[1]}: {why!r}") from why


def with_new_names(row: dict) -> dict:
    """A row of an older backup under the names that models and fields have now."""
    model, fields = NEW_NAMES.get(str(row.get("model")), (None, {}))
    if model is None or not isinstance(row.get("fields"), dict):
        return row
    return {**row, "model": model, "fields": {fields.get(name, name): value for name, value in row["fields"].items()}}


def instance_of(row: dict) -> Model:
    """The unsaved model instance of a row, {"model", "pk", "fields"}; Broken if it cannot be built."""
    try:
        return next(iter(Deserializer([row]))).object
    except (DeserializationError, FieldDoesNotExist, KeyError, TypeError, AttributeError, ValueError) as why:
        raise BackupError(f"A row of this backup cannot be read: {row.get('model')} {row.get('pk')}.") from why
