"""What is wrong with a value, said so that a grower understands it."""

from collections.abc import Mapping
from typing import Any

from pydantic import ValidationError

from harvestlog.accounts.wire import shown

_REASONS = {
    "missing": "is missing.",
    "extra_forbidden": "is not a field here. Leave it out.",
    "string_type": "must be text.",
    "string_too_short": "is too short: at least {min_length}.",
    "string_too_long": "is too long: at most {max_length} characters.",
    "string_pattern_mismatch": "is not of the form wanted here.",
    "literal_error": "must be {expected}.",
    "int_type": "must be a whole number.",
    "int_from_float": "must be a whole number.",
    "int_parsing": "must be a whole number.",
    "float_type": "must be a number.",
    "float_parsing": "must be a number.",
    "finite_number": "must be a number.",
    "bool_type": "must be true or false.",
    "list_type": "must be a list.",
    "dict_type": "must be an object.",
    "model_type": "must be an object.",
    "model_attributes_type": "must be an object.",
    # Said of text too, where a check of its characters comes before the length.
    "too_short": "is too short: at least {min_length}.",
    "too_long": "is too long: at most {max_length}.",
    "greater_than": "must be more than {gt}.",
    "greater_than_equal": "must be at least {ge}.",
    "less_than": "must be less than {lt}.",
    "less_than_equal": "must be at most {le}.",
    "uuid_parsing": "is no id.",
    "timezone_aware": "needs a time zone, such as Z.",
}

# A whole sentence, which the phone shows as it is: "code is too short: at least 1" names nothing on its screen.
_UNWRITTEN = {"code": "Write the set-up code.", "password": "Write your password."}


def reason(fault: Mapping[str, Any]) -> str:
    """One sentence for one of pydantic's error dictionaries: without its subject, or whole and with a capital."""
    if not fault.get("input") and "too_short" in fault["type"] and field(fault) in _UNWRITTEN:
        return _UNWRITTEN[field(fault)]
    bounds = fault.get("ctx") or {}
    said = _REASONS.get(fault["type"])
    if said is not None:
        return said.format_map(bounds)
    own = str(bounds.get("error") or fault["msg"]).rstrip(".")
    return f"{own}."


def field(fault: Mapping[str, Any]) -> str:
    """Where it is, as the sender names it: ops.3.row, not body.form.ops.3.row; "body" for the body as a whole."""
    source, *path = fault["loc"]
    if source == "body":
        path = path[1:]  # the name of our own parameter
    return ".".join(str(part) for part in path) or str(source)


def first_fault(error: ValidationError) -> tuple[str | None, str]:
    """The field of a record and a sentence for the first thing wrong with it: what was given, and what is wanted.

    The field is None where it is not one field but how several stand together.
    """
    fault = error.errors(include_url=False)[0]
    words = reason(fault)
    name = str(fault["loc"][0]) if fault["loc"] else None
    if name is None:
        return None, words[0].upper() + words[1:]
    if fault["type"] in {"missing", "extra_forbidden"}:
        return name, f"{name} {words}"
    return name, f"{name} {shown(fault['input'])} {words}"
