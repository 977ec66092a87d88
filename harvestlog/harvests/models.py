"""Picks. Flush n of a block is no row: it is the sum of the picks that carry the number n."""

from django.db import models

from harvestlog.accounts.records import FarmRecord


class Pick(FarmRecord):
    block = models.UUIDField()
    flush = models.PositiveSmallIntegerField()
    at = models.DateTimeField()
    wet_g = models.FloatField()
    typed = models.CharField(max_length=40)
    handling = models.CharField(max_length=10)
    scale_step_g = models.FloatField(null=True)
    pieces = models.PositiveIntegerField(null=True)
    dry_g = models.FloatField(null=True)
    dry_typed = models.CharField(max_length=40)
    note = models.TextField()
