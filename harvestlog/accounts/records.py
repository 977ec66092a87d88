"""What every record of a farm carries besides its own fields: whose it is, where it stands in the farm's order, who made it."""

from django.conf import settings
from django.db import models


class FarmRecord(models.Model):
    """A row that phones may change: found by (farm, uuid), ordered by the farm's own sequence number.

    `stamps` says for each field which operation wrote it: {field: [seq, phone, at, operation id]}; under
    "deleted" it says which one deleted the row or brought it back last.
    References between records are plain UUIDs of the same farm: a phone may send a pick before its block
    has arrived from another phone, and another farm's id then simply points at nothing.
    """

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    uuid = models.UUIDField()
    seq = models.BigIntegerField()
    deleted = models.BooleanField(default=False)
    author = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    stamps = models.JSONField(default=dict)

    class Meta:
        abstract = True
        constraints = [
            models.UniqueConstraint(fields=["farm", "uuid"], name="%(class)s_once_a_farm"),
            # Also the index that a pull reads: seqs of a farm are never shared by two rows of a kind.
            models.UniqueConstraint(fields=["farm", "seq"], name="%(class)s_seq_once"),
        ]
