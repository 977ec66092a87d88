"""What the account operations accept."""

import unicodedata
from typing import Annotated, Literal

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.validators import validate_email
from pydantic import AfterValidator, Field

from harvestlog.accounts.models import Person
from harvestlog.accounts.refusals import invalid
from harvestlog.accounts.wire import Id, Line, Name, Strict

# What somebody who guesses at a mushroom farm tries first (ASVS 6.1.2): refused with any digits and marks around it.
PASSWORD_WORDS = {
    "harvest", "harvestlog", "mushroom", "mushrooms", "mushroomfarm", "fungi", "fungus", "mycelium",
    "spawn", "substrate", "oyster", "oysters", "shiitake", "lionsmane", "reishi", "enoki", "pleurotus",
    "lentinula", "hericium", "harvester", "picker", "grower", "growroom", "farm", "farmer", "owner",
    "password",
}  # fmt: skip
LONGEST_EMAIL = 254  # RFC 5321 4.5.3.1.3: a path of 256 with its two brackets


def _fold(email: str) -> str:
    return email.strip().casefold()


def _new_email(typed: str) -> str:
    email = _fold(typed)
    try:
        validate_email(email)
    except ValidationError:
        raise ValueError(f"“{typed}” is no e-mail address; write it like ann@example.org") from None
    if len(email) > LONGEST_EMAIL:
        raise ValueError(f"is too long: at most {LONGEST_EMAIL} characters")
    return email


def _composed(password: str) -> str:
    """NFC, so that two keyboards that put é together differently still type one password (RFC 8265, 4.2.2)."""
    return unicodedata.normalize("NFC", password)


Role = Literal["owner", "picker", "viewer"]
Title = Annotated[Name, AfterValidator(str.strip)]
DeviceName = Annotated[Line, Field(max_length=80), AfterValidator(str.strip)]
Email = Annotated[Line, Field(max_length=LONGEST_EMAIL), AfterValidator(_fold)]
NewEmail = Annotated[Line, Field(max_length=LONGEST_EMAIL), AfterValidator(_new_email)]
# Argon2 reads a password whole: the bound keeps one request from costing seconds.
Password = Annotated[Line, Field(min_length=1, max_length=256), AfterValidator(_composed)]
Code = Annotated[Line, Field(min_length=1, max_length=64)]
Currency = Annotated[str, Field(pattern=r"^([A-Z]{3})?$")]


class DemoForm(Strict):
    device: Id
    device_name: DeviceName = ""


class SignInForm(DemoForm):
    email: Email
    password: Password
    farm: Id | None = None


class JoinForm(DemoForm):
    code: Code
    name: Title
    email: NewEmail
    password: Password


class SetupForm(JoinForm):
    farm: Title


class FarmForm(Strict):
    """A field left out stays as it is."""

    name: Title | None = None
    currency: Currency | None = None


class RoleForm(Strict):
    role: Role


class PairForm(DemoForm):
    code: Code


class PasswordForm(Strict):
    password: Password


class ChangePasswordForm(PasswordForm):
    new: Password


class NewPasswordForm(PasswordForm):
    code: Code


def refuse_weak(password: str, *, email: str | None, name: str, field: str = "password") -> None:
    """422 for a password that is easily guessed, by the rules in settings and by PASSWORD_WORDS."""
    if "".join(filter(str.isalpha, password.casefold())) in PASSWORD_WORDS:
        raise invalid(field, "This is a word that everybody guesses here. Write a few words in a row.")
    try:
        validate_password(password, Person(email=email, name=name))
    except ValidationError as weak:
        raise invalid(field, " ".join(weak.messages)) from None
