"""What becomes of a crop: loads in the dryer, jars, soaking trials, extracts; and the air where all that stands.

What is computed of them (a pick's share of a load, what is left in a jar) is no column: it comes from these rows each time.
"""

from django.db import models

from harvestlog.accounts.records import FarmRecord


class Reading(FarmRecord):
    """The air of a place at one moment."""

    place = models.UUIDField()
    at = models.DateTimeField()
    temp_c = models.FloatField(null=True)
    rh_pct = models.FloatField(null=True)
    co2_ppm = models.FloatField(null=True)
    note = models.TextField()


class Drying(FarmRecord):
    """One load in the dryer; `dry_g` is the whole of it, weighed at the end."""

    method = models.CharField(max_length=10)
    started = models.DateTimeField()
    ended = models.DateTimeField(null=True)
    temp_c = models.FloatField(null=True)
    scale_step_g = models.FloatField(null=True)
    dry_g = models.FloatField(null=True)
    dry_typed = models.CharField(max_length=40)
    note = models.TextField()


class DryingPart(FarmRecord):
    """What went into a load: a pick or part of one, or mushrooms from elsewhere, then of a variety."""

    drying = models.UUIDField()
    pick = models.UUIDField(null=True)
    variety = models.UUIDField(null=True)
    wet_g = models.FloatField()
    typed = models.CharField(max_length=40)
    note = models.TextField()


class DryingWeighing(FarmRecord):
    drying = models.UUIDField()
    at = models.DateTimeField()
    mass_g = models.FloatField()
    typed = models.CharField(max_length=40)
    cooled = models.BooleanField()


class Jar(FarmRecord):
    """A closed container of dried mushrooms. Its best-before day is the grower's own; none is ever worked out."""

    label = models.CharField(max_length=20)
    what = models.CharField(max_length=80)
    variety = models.UUIDField(null=True)
    drying = models.UUIDField(null=True)
    cut = models.CharField(max_length=10)
    dry_g = models.FloatField()
    dry_typed = models.CharField(max_length=40)
    packed = models.DateField()
    container = models.CharField(max_length=10)
    container_ml = models.FloatField(null=True)
    absorber_ml = models.FloatField(null=True)
    place = models.UUIDField(null=True)
    best_before = models.DateField(null=True)
    note = models.TextField()


class Taking(FarmRecord):
    jar = models.UUIDField()
    at = models.DateTimeField()
    mass_g = models.FloatField()
    typed = models.CharField(max_length=40)
    use = models.CharField(max_length=10)
    note = models.TextField()


class Trial(FarmRecord):
    """Dried mushrooms put into water, to be weighed drained at some minutes."""

    jar = models.UUIDField(null=True)
    variety = models.UUIDField(null=True)
    at = models.DateTimeField()
    dry_g = models.FloatField()
    dry_typed = models.CharField(max_length=40)
    water_c = models.FloatField(null=True)
    water_ml = models.FloatField(null=True)
    note = models.TextField()


class TrialWeighing(FarmRecord):
    trial = models.UUIDField()
    minutes = models.FloatField()
    drained_g = models.FloatField()
    typed = models.CharField(max_length=40)


class Extract(FarmRecord):
    """A two-stage extract, spirit first, then water. Strengths are in % by volume."""

    name = models.CharField(max_length=80)
    variety = models.UUIDField(null=True)
    jar = models.UUIDField(null=True)
    mushroom = models.CharField(max_length=10)
    mass_g = models.FloatField()
    typed = models.CharField(max_length=40)
    fresh_water_low_pct = models.FloatField(null=True)
    fresh_water_high_pct = models.FloatField(null=True)
    spirit_ml = models.FloatField()
    spirit_pct = models.FloatField()
    started = models.DateTimeField()
    steep_low_days = models.PositiveSmallIntegerField()
    steep_high_days = models.PositiveSmallIntegerField()
    shake_days = models.PositiveSmallIntegerField(null=True)
    target_low_pct = models.FloatField()
    target_high_pct = models.FloatField()
    note = models.TextField()


class ExtractStep(FarmRecord):
    extract = models.UUIDField()
    what = models.CharField(max_length=10)
    at = models.DateTimeField()
    volume_ml = models.FloatField(null=True)
    note = models.TextField()
