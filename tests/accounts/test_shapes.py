"""Bodies that are not what they should be: a field and a reason, never a fault of the server."""

import json

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from harvestlog.accounts.models import Farm
from tests.accounts.operations import Operation, unsafe_operations
from tests.cast import PASSWORD, Browser, Cast, Json

WITH_BODY = [
    operation
    for operation in unsafe_operations()
    if operation.takes_json and not operation.path.startswith("/api/sync")
]
DEVICE = "0190a6b2-7c3d-7e4f-8a5b-6c7d8e9f0a1b"
SIGN_IN: Json = {"email": "olga@example.org", "password": PASSWORD, "device": DEVICE, "device_name": "Phone"}
SET_UP: Json = SIGN_IN | {"code": "AAAA-AAAA-AAAA", "farm": "Alder Yard", "name": "Olga"}


def fault(browser: Browser, path: str, body: object, method: str = "POST") -> tuple[str, str]:
    answer = browser.send(method, path, body)
    assert answer.status_code == 422, answer.content
    said = answer.json()
    assert said["code"] == "invalid"
    assert said["message"] == f"{said['errors'][0]['field']} {said['errors'][0]['reason']}"
    return said["errors"][0]["field"], said["errors"][0]["reason"]


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"email": None}, "email", "must be text."),
        ({"email": 5}, "email", "must be text."),
        ({"email": "a" * 255}, "email", "is too long: at most 254"),
        ({"password": ""}, "password", "Write your password."),
        ({"password": "x" * 257}, "password", "is too long"),
        ({"password": ["x"]}, "password", "must be text."),
        ({"device": "phone"}, "device", "is no id"),
        ({"device": DEVICE.upper()}, "device", "in lower case"),
        ({"device": DEVICE.replace("-", "")}, "device", "is no id"),
        ({"device": 7}, "device", "is no id"),
        ({"device_name": "two\nlines"}, "device_name", "one line"),
        ({"device_name": "nul\x00"}, "device_name", "control character"),
        ({"device_name": "x" * 81}, "device_name", "at most 80"),
        ({"role": "owner"}, "role", "is not a field here. Leave it out."),
        ({"farm": ""}, "farm", "is no id"),
    ],
)
def test_what_is_wrong_with_a_sign_in_is_said_beside_its_field(
    change: Json, field: str, words: str, visitor: Browser
) -> None:
    said, reason = fault(visitor, "/api/session", SIGN_IN | change)
    assert said == field
    assert words in reason


@pytest.mark.parametrize(
    ("change", "field", "words"),
    [
        ({"email": "olga"}, "email", "“olga” is no e-mail address"),
        ({"email": "olga@example.org\n"}, "email", "one line"),
        ({"name": "   "}, "name", "is empty"),
        ({"farm": "\u202e" * 81}, "farm", "at most 80"),
        ({"farm": None}, "farm", "must be text."),
        ({"code": "x" * 65}, "code", "at most 64"),
    ],
)
def test_what_is_wrong_with_a_set_up_is_said_beside_its_field(
    change: Json, field: str, words: str, visitor: Browser
) -> None:
    said, reason = fault(visitor, "/api/setup", SET_UP | change)
    assert said == field
    assert words in reason


@pytest.mark.parametrize("field", ["email", "password", "device"])
def test_a_field_left_out_is_named(field: str, visitor: Browser) -> None:
    body = {name: value for name, value in SIGN_IN.items() if name != field}
    assert fault(visitor, "/api/session", body) == (field, "is missing.")


@pytest.mark.parametrize("currency", ["eur", "EURO", "€", "EU", "E1R", "EUR\n"])
def test_a_currency_is_three_capitals(currency: str, cast: Cast) -> None:
    assert fault(cast.owner.phone, "/api/farm", {"currency": currency}, "PATCH")[0] == "currency"


@pytest.mark.parametrize("currency", ["", "DKK"])
def test_a_currency_may_be_left_open(currency: str, cast: Cast) -> None:
    assert cast.owner.phone.patch("/api/farm", {"currency": currency}).json()["currency"] == currency


@pytest.mark.parametrize("role", ["Owner", "admin", "", None, 1, ["owner"]])
def test_a_role_is_one_of_three(role: object, cast: Cast) -> None:
    field, reason = fault(cast.owner.phone, "/api/farm/invitations", {"role": role})
    assert (field, reason) == ("role", "must be 'owner', 'picker' or 'viewer'.")


@pytest.mark.parametrize(
    "text",
    [
        b"", b"{", b"nul", b"\xff\xfe", b'{"email": NaN}', b'{"email": "\\ud800"}', b"[" * 100_000,
        b'{"email": 1' + b"0" * 5_000 + b"}", b'{"email": "a" "b"}',
    ],
)  # fmt: skip
def test_a_body_that_is_no_json_is_said_to_be_none(text: bytes, visitor: Browser) -> None:
    answer = visitor.client.generic(
        "POST", "/api/session", text, "application/json", headers={"X-CSRFToken": visitor.token()}
    )
    assert answer.status_code == 422
    assert answer.json()["errors"][0]["field"] == "body"


@pytest.mark.parametrize("body", [[], "text", 1, True])
def test_a_body_that_is_no_object_is_said_to_be_none(body: object, visitor: Browser) -> None:
    assert fault(visitor, "/api/session", body) == ("body", "must be an object.")


def test_a_body_of_another_type_is_refused(visitor: Browser) -> None:
    answer = visitor.client.generic(
        "POST", "/api/session", json.dumps(SIGN_IN), "text/html", headers={"X-CSRFToken": visitor.token()}
    )
    assert (answer.status_code, answer.json()["code"]) == (415, "unsupported_type")


def test_a_body_larger_than_the_server_takes_is_refused(visitor: Browser) -> None:
    answer = visitor.post("/api/session", SIGN_IN | {"device_name": "x" * 5_000_000})
    assert (answer.status_code, answer.json()["code"]) == (413, "too_large")


def test_the_password_is_never_said_back(visitor: Browser) -> None:
    answer = visitor.post("/api/session", SIGN_IN | {"password": "secret-" + "x" * 300, "extra": 1})
    assert "secret-" not in answer.content.decode()


any_json = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(st.characters()),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(), inner, max_size=4),
    max_leaves=8,
)
FIELDS = ["email", "password", "device", "device_name", "farm", "name", "code", "role", "currency"]
some_fields = st.dictionaries(
    st.sampled_from(FIELDS), any_json | st.just(DEVICE) | st.text(max_size=300) | st.emails(), max_size=9
)


@pytest.mark.parametrize("operation", WITH_BODY, ids=str)
@given(body=any_json | some_fields)
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_no_json_at_all_is_a_fault_of_the_server(operation: Operation, body: object, cast: Cast) -> None:
    owner = cast.owner.phone
    url = operation.url(person=cast.viewer.person.id)
    answer = owner.client.generic(
        operation.method, url, json.dumps(body), "application/json", headers={"X-CSRFToken": owner.token()}
    )
    done = answer.status_code in {200, 201}
    assert done or answer.status_code in {401, 403, 404, 422, 429}
    assert done or {"code", "message"} <= answer.json().keys()
    assert Farm.objects.filter(is_demo=False).count() == 2
