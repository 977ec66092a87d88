"""What the server remembers of every operation: its answer for ever, and what it replaced."""

from django.conf import settings
from django.db import models


class Receipt(models.Model):
    """The answer given to one operation. Kept for ever: a phone may stay away for weeks and ask again."""

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    op = models.UUIDField()
    device = models.UUIDField()
    digest = models.CharField(max_length=64)
    status = models.CharField(max_length=10)
    seq = models.BigIntegerField(null=True)
    code = models.CharField(max_length=40, default="")
    message = models.TextField(default="")
    field = models.CharField(max_length=80, default="")
    lost_fields = models.JSONField(default=list)
    at = models.DateTimeField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "op"], name="receipt_once")]

    def __str__(self) -> str:
        return f"{self.op} {self.status}"


class Change(models.Model):
    """The human history of a row: who changed what from what to what. Nothing overwritten is lost."""

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    seq = models.BigIntegerField()
    op = models.UUIDField()
    kind = models.CharField(max_length=20)
    row = models.UUIDField()
    verb = models.CharField(max_length=10)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+"
    )
    device = models.UUIDField()
    at = models.DateTimeField()
    before = models.JSONField(default=dict)
    after = models.JSONField(default=dict)
    lost = models.JSONField(default=dict)
    chain = models.CharField(max_length=64, default="")  # hash of the history up to here: chain.py

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "seq"], name="change_seq_once")]
        indexes = [models.Index(fields=["farm", "row", "seq"], name="change_of_row")]

    def __str__(self) -> str:
        return f"{self.seq}: {self.verb} {self.kind} {self.row}"


class Outvoted(models.Model):
    """What one operation had written and another, whose phone had not seen it, took the place of.

    Its writer is told with the next pull: the answer to the operation itself had been that it stands.
    """

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    seq = models.BigIntegerField()  # of the change that took its place
    op = models.UUIDField()
    kind = models.CharField(max_length=20)
    row = models.UUIDField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.CASCADE, related_name="+")
    device = models.UUIDField()
    at = models.DateTimeField()
    fields = models.JSONField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "seq", "op"], name="outvoted_once")]
        indexes = [
            models.Index(fields=["farm", "person", "device", "seq"], name="outvoted_to_tell"),
            models.Index(fields=["farm", "row"], name="outvoted_of_row"),
        ]

    def __str__(self) -> str:
        return f"{self.op} by {self.seq}"
