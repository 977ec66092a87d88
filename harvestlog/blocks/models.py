"""Suppliers, varieties, places, deliveries, blocks and what happened to them."""

from django.db import models

from harvestlog.accounts.records import FarmRecord


class Supplier(FarmRecord):
    name = models.CharField(max_length=80)
    contact = models.CharField(max_length=200)
    note = models.TextField()


class Variety(FarmRecord):
    """What a grower calls a kind of block; its own temperature range goes before the catalogue's."""

    name = models.CharField(max_length=80)
    species = models.CharField(max_length=60)
    strain = models.CharField(max_length=40)
    temp_low_c = models.FloatField(null=True)
    temp_high_c = models.FloatField(null=True)
    note = models.TextField()


class Place(FarmRecord):
    name = models.CharField(max_length=80)
    note = models.TextField()


class Delivery(FarmRecord):
    supplier = models.UUIDField()
    lot = models.CharField(max_length=60)
    received = models.DateField()
    price = models.DecimalField(max_digits=12, decimal_places=2, null=True)
    currency = models.CharField(max_length=3)
    count = models.PositiveIntegerField()
    stored_c = models.FloatField(null=True)
    note = models.TextField()


class Block(FarmRecord):
    """One block. `dry_basis` says which one of the ways to know its dry mass is filled in."""

    label = models.CharField(max_length=5)
    variety = models.UUIDField()
    delivery = models.UUIDField(null=True)
    form = models.CharField(max_length=10)
    wet_g = models.FloatField(null=True)
    dry_basis = models.CharField(max_length=10)
    dry_g = models.FloatField(null=True)
    moisture_pct = models.FloatField(null=True)
    moisture_low_pct = models.FloatField(null=True)
    moisture_high_pct = models.FloatField(null=True)
    place = models.UUIDField(null=True)
    note = models.TextField()


class Happening(FarmRecord):
    """Something that happened to a block. The block's state is derived from these and never typed."""

    block = models.UUIDField()
    what = models.CharField(max_length=20)
    at = models.DateTimeField()
    until = models.DateTimeField(null=True)
    mass_before_g = models.FloatField(null=True)
    mass_after_g = models.FloatField(null=True)
    place = models.UUIDField(null=True)
    contamination = models.CharField(max_length=20)
    note = models.TextField()
