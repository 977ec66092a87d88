"""The worked examples of fixtures/calc, which the phone's tests read too."""

import json
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import asdict, is_dataclass
from pathlib import Path
from typing import Any

import pytest

from harvestlog.calc.yields import Basis

EXAMPLES = Path(__file__).parents[2] / "fixtures" / "calc"
NOT_IN_JSON = {"nan": math.nan, "inf": math.inf, "-inf": -math.inf}


def examples(name: str, group: str = "cases") -> list[Any]:
    """The examples of one file, for pytest.mark.parametrize, each under its own name."""
    read = json.loads((EXAMPLES / f"{name}.json").read_text(encoding="utf-8"))[group]
    assert read, f"{name}.json has no {group}"
    return [pytest.param(case, id=case["name"]) for case in read]


def given(value: object) -> object:
    """An argument as the calculation takes it: numbers that JSON cannot write, flush numbers as numbers, a basis as one."""
    if isinstance(value, str):
        return NOT_IN_JSON.get(value, value)
    if isinstance(value, dict) and "kind" in value:
        return Basis(**value)
    if isinstance(value, dict):
        return {int(key) if key.isdecimal() else key: given(each) for key, each in value.items()}
    return value


def agrees(actual: object, expected: object, within: float = 1e-9) -> bool:
    """Whether a result is the expected one, every number in it within the tolerance."""
    if is_dataclass(actual) and not isinstance(actual, type):
        return agrees(asdict(actual), expected, within)
    if isinstance(expected, bool) or expected is None or isinstance(expected, str):
        return actual == expected and type(actual) is type(expected)
    if isinstance(expected, (int, float)):
        return isinstance(actual, (int, float)) and abs(actual - expected) <= within
    if isinstance(expected, Mapping):
        return isinstance(actual, Mapping) and _same_entries(actual, expected, within)
    assert isinstance(expected, Sequence)
    return (
        isinstance(actual, Sequence)
        and len(actual) == len(expected)
        and all(agrees(a, e, within) for a, e in zip(actual, expected, strict=True))
    )


def _same_entries(actual: Mapping[Any, object], expected: Mapping[str, object], within: float) -> bool:
    by_name = {str(key): value for key, value in actual.items()}
    return by_name.keys() == expected.keys() and all(
        agrees(by_name[key], expected[key], within) for key in expected
    )


def check_call(case: dict[str, Any], functions: Mapping[str, Callable[..., object]], errors: object) -> None:
    """Calls the function an example names, by parameter names, and checks its result or its refusal."""
    call = functions[case["function"]]
    args = {name: given(value) for name, value in case["args"].items()}
    if "refuses" in case:
        with pytest.raises(ValueError) as refused:  # noqa: PT011 - the exact type is checked next
            call(**args)
        assert type(refused.value) is getattr(errors, case["refuses"])
        assert str(refused.value).endswith("."), "the message is no sentence"
        assert str(refused.value) == case.get("says", str(refused.value))
    else:
        result = call(**args)
        assert agrees(result, case["expect"], case.get("within", 1e-9)), f"{result} is not {case['expect']}"
