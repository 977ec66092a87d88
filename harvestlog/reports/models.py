"""Yield reports as they were made, and the links under which a report is shown to whoever holds one."""

import uuid

from django.conf import settings
from django.db import models


class SupplierReport(models.Model):
    """One yield report: a snapshot that no later record changes. Its `uuid` was made on the phone.

    `asked` is the SHA-256 of what the phone asked for: the same question again gets the same report.
    """

    farm = models.ForeignKey("accounts.Farm", on_delete=models.CASCADE, related_name="+")
    uuid = models.UUIDField()
    supplier = models.UUIDField()
    # Beside the snapshot, so that a list of reports need not open every one of them.
    supplier_name = models.CharField(max_length=80)
    title = models.CharField(max_length=160)
    blocks = models.PositiveIntegerField()
    made = models.DateTimeField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.SET_NULL, null=True, related_name="+")
    asked = models.CharField(max_length=64)
    snapshot = models.JSONField()

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "uuid"], name="supplierreport_once_a_farm")]
        indexes = [models.Index(fields=["farm", "made"], name="supplierreport_by_farm")]

    def __str__(self) -> str:
        return self.title


class Share(models.Model):
    """A link to one report. Only the hash of its 256-bit token is kept."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    report = models.ForeignKey(SupplierReport, on_delete=models.CASCADE, related_name="shares")
    token_hash = models.CharField(max_length=64, unique=True)
    made = models.DateTimeField()
    expires = models.DateTimeField()
    revoked = models.DateTimeField(null=True, blank=True)
    opened = models.PositiveIntegerField(default=0)
    last_opened = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.report_id} until {self.expires:%Y-%m-%d}"


class CalendarFeed(models.Model):
    """The secret address under which one member's calendar reads what falls due on one farm.

    It goes with the membership. `zone`: whose days are counted, since no phone asks. Only the hash of its 256-bit token
    is kept.
    """

    membership = models.OneToOneField("accounts.Membership", on_delete=models.CASCADE, related_name="+")
    token_hash = models.CharField(max_length=64, unique=True)
    zone = models.CharField(max_length=64)
    made = models.DateTimeField()
    last_read = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.membership_id} since {self.made:%Y-%m-%d}"
