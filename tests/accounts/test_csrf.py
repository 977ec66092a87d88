"""No change is taken from anywhere but the app's own pages, whichever operation is asked."""

from typing import TYPE_CHECKING

import pytest

from tests.accounts.operations import Operation, unsafe_operations
from tests.cast import Browser, Cast

if TYPE_CHECKING:
    from tests.cast import Answer

UNSAFE = unsafe_operations()
every_unsafe_operation = pytest.mark.parametrize("operation", UNSAFE, ids=str)


def send(
    browser: Browser, operation: Operation, kind: str = "", body: bytes = b"{}", **headers: str
) -> "Answer":
    kind = kind or ("image/jpeg" if operation.method == "PUT" else "application/json")
    return browser.client.generic(
        operation.method,
        operation.url(),
        body,
        kind,
        headers={k.replace("_", "-"): v for k, v in headers.items()},
    )


def is_refused(answer: "Answer") -> bool:
    return answer.status_code == 403 and answer.json()["code"] == "csrf"


def test_the_ways_in_and_the_photos_are_among_the_operations_tried() -> None:
    tried = {str(operation) for operation in UNSAFE}
    assert tried >= {
        "POST /api/session", "DELETE /api/session", "POST /api/setup", "POST /api/demo", "POST /api/join",
        "PUT /api/photos/{sha256}", "PATCH /api/farm",
    }  # fmt: skip


@every_unsafe_operation
def test_with_the_token_it_is_not_refused(operation: Operation, cast: Cast) -> None:
    token = cast.owner.phone.token()
    assert not is_refused(send(cast.owner.phone, operation, X_CSRFToken=token))
    token = cast.owner.phone.client.cookies["csrftoken"].value
    assert not is_refused(send(cast.owner.phone, operation, X_CSRFToken=token, Origin="http://testserver"))


@every_unsafe_operation
def test_without_a_token_it_is_refused(operation: Operation, cast: Cast) -> None:
    cast.owner.phone.token()
    assert is_refused(send(cast.owner.phone, operation))


@every_unsafe_operation
def test_with_somebody_elses_token_it_is_refused(operation: Operation, cast: Cast) -> None:
    cast.owner.phone.token()
    assert is_refused(send(cast.owner.phone, operation, X_CSRFToken=cast.stranger.phone.token()))


@every_unsafe_operation
@pytest.mark.parametrize(
    "origin", ["https://evil.example", "null", "http://testserver.evil.example", "https://testserver"]
)
def test_from_another_origin_it_is_refused_even_with_the_token(
    origin: str, operation: Operation, cast: Cast
) -> None:
    token = cast.owner.phone.token()
    assert is_refused(send(cast.owner.phone, operation, X_CSRFToken=token, Origin=origin))


@every_unsafe_operation
@pytest.mark.parametrize(
    "kind", ["application/x-www-form-urlencoded", "multipart/form-data; boundary=x", "text/plain"]
)
def test_a_form_is_refused_even_with_the_token(kind: str, operation: Operation, cast: Cast) -> None:
    token = cast.owner.phone.token()
    answer = send(cast.owner.phone, operation, kind, b'{"role":"owner"}', X_CSRFToken=token)
    assert (answer.status_code, answer.json()["code"]) == (415, "unsupported_type")


@every_unsafe_operation
def test_signed_out_it_is_refused_without_a_token_too(
    operation: Operation, visitor: Browser, cast: Cast
) -> None:
    assert is_refused(send(visitor, operation))
