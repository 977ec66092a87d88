"""People, farms, who belongs to which, and the phones they sign in with."""

import uuid
from typing import ClassVar

from django.contrib.auth.base_user import AbstractBaseUser, BaseUserManager
from django.db import models
from django.utils import timezone

ROLES = [("owner", "owner"), ("picker", "picker"), ("viewer", "viewer")]


class People(BaseUserManager["Person"]):
    """How Django's own parts look a person up."""


class Person(AbstractBaseUser):
    """Someone who signs in. A visitor of the demo farm has no e-mail and no usable password."""

    last_login = None  # each phone has its own `signed_in`

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    # Stored casefolded, so that Ann@ and ann@ are one person.
    email = models.CharField(max_length=254, unique=True, null=True, blank=True)
    name = models.CharField(max_length=80)
    is_active = models.BooleanField(default=True)

    USERNAME_FIELD = "email"
    objects: ClassVar[People] = People()

    def __str__(self) -> str:
        return self.name


class Farm(models.Model):
    """One grower's records. `seq` counts applied operations; `epoch` changes when a backup is restored."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    name = models.CharField(max_length=80)
    currency = models.CharField(max_length=3, default="", blank=True)
    is_demo = models.BooleanField(default=False)
    seq = models.BigIntegerField(default=0)
    epoch = models.UUIDField(default=uuid.uuid4)
    made = models.DateTimeField(default=timezone.now)

    def __str__(self) -> str:
        return self.name


class Membership(models.Model):
    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, related_name="memberships")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="memberships")
    role = models.CharField(max_length=6, choices=ROLES)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "person"], name="member_once_a_farm")]

    def __str__(self) -> str:
        return f"{self.person_id} as {self.role}"


class Phone(models.Model):
    """A device on which this person signed in to this farm.

    `session_hash` is the SHA-256 of the only session key that may use it; "" when nobody is signed in on it.
    `former_hash` is that of the key before, which still reads and writes until the new one has been used: the answer
    that carried the new one may have been lost.
    `confirmed`: when this person last typed their password on it.
    """

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, related_name="phones")
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="phones")
    device = models.UUIDField(db_index=True)
    name = models.CharField(max_length=80, blank=True)
    session_hash = models.CharField(max_length=64, default="", blank=True, db_index=True)
    former_hash = models.CharField(max_length=64, default="", blank=True)
    signed_in = models.DateTimeField()
    last_seen = models.DateTimeField()
    confirmed = models.DateTimeField(null=True, blank=True)
    revoked = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["farm", "person", "device"], name="phone_once")]

    def __str__(self) -> str:
        return self.name or str(self.device)


class Invitation(models.Model):
    """A 128-bit code that lets one person join one farm. Only its hash is kept."""

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, related_name="invitations")
    role = models.CharField(max_length=6, choices=ROLES)
    code_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="+")
    made = models.DateTimeField()
    expires = models.DateTimeField()
    used = models.DateTimeField(null=True, blank=True)
    used_by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")

    def __str__(self) -> str:
        return f"{self.role} until {self.expires:%Y-%m-%d}"


class PersonCode(models.Model):
    """A 128-bit code that does one thing for one person, once. Only its hash is kept.

    "pair" signs another phone of theirs in to `farm`; "password" lets them choose a new password, and has no farm where
    it was made on the server's console.
    """

    PAIR, PASSWORD = "pair", "password"

    id = models.UUIDField(primary_key=True, default=uuid.uuid4, editable=False)
    purpose = models.CharField(max_length=8, choices=[(PAIR, PAIR), (PASSWORD, PASSWORD)])
    person = models.ForeignKey(Person, on_delete=models.CASCADE, related_name="+")
    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    code_hash = models.CharField(max_length=64, unique=True)
    made_by = models.ForeignKey(Person, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    made = models.DateTimeField()
    expires = models.DateTimeField()
    used = models.DateTimeField(null=True, blank=True)

    def __str__(self) -> str:
        return f"{self.purpose} until {self.expires:%Y-%m-%d %H:%M}"


class SetupCode(models.Model):
    """The code shown on the console for the first farm. A used one stays, to answer a repeated request."""

    code_hash = models.CharField(max_length=64, unique=True)
    made = models.DateTimeField()
    used = models.DateTimeField(null=True, blank=True)
    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, null=True, blank=True, related_name="+")

    def __str__(self) -> str:
        return "used" if self.used else "open"


class SignInTry(models.Model):
    """A failed or unfinished attempt to get in. Kept for one throttling window only.

    `account` is a keyed hash: what people type into the e-mail field by mistake is sometimes a password.
    """

    account = models.CharField(max_length=64)
    address = models.CharField(max_length=45)
    device = models.UUIDField(null=True, blank=True)
    at = models.DateTimeField(db_index=True)

    class Meta:
        indexes = [
            models.Index(fields=["account", "at"], name="try_by_account"),
            models.Index(fields=["address", "at"], name="try_by_address"),
        ]

    def __str__(self) -> str:
        return f"{self.address} at {self.at:%H:%M}"


class Deed(models.Model):
    """Who did what to a farm's people and doors, written in the transaction that did it."""

    farm = models.ForeignKey(Farm, on_delete=models.CASCADE, null=True, blank=True, related_name="+")
    by = models.ForeignKey(Person, on_delete=models.SET_NULL, null=True, blank=True, related_name="+")
    verb = models.CharField(max_length=24)
    about = models.CharField(max_length=80, blank=True)
    detail = models.JSONField(default=dict)
    at = models.DateTimeField()

    class Meta:
        indexes = [models.Index(fields=["farm", "at"], name="deed_by_farm")]

    def __str__(self) -> str:
        return f"{self.verb} {self.about}"
