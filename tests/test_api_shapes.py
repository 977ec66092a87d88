"""Whatever is sent to the API as its own description allows, or nearly, it answers as described and never with 500."""

from typing import Any

import pytest
import schemathesis
from django.conf import settings
from django.db import connection
from hypothesis import HealthCheck
from hypothesis import settings as examples
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from harvestlog.api import api
from harvestlog.wsgi import application
from tests.cast import Actor, Cast

schema = schemathesis.openapi.from_dict(api.get_openapi_schema())
schema.app = application


@pytest.fixture
def one_connection(monkeypatch: pytest.MonkeyPatch) -> None:
    """The application closes its database connection after a request; the test's transaction lives on it."""
    monkeypatch.setattr(connection, "close_if_unusable_or_obsolete", lambda: None)


@pytest.mark.django_db
@pytest.mark.usefixtures("one_connection")
@schema.parametrize()
@examples(max_examples=40, deadline=None, database=None, suppress_health_check=list(HealthCheck))
def test_an_operation_answers_as_described(case: Any, cast: Cast) -> None:
    # A phone of its own for every request: some of them sign out, or show the phone the door.
    phone = Actor(cast.owner.person, cast.farm, "owner").phone
    token = phone.token()
    cookies = {settings.SESSION_COOKIE_NAME: phone.client.cookies[settings.SESSION_COOKIE_NAME].value}
    case.call_and_validate(
        headers={"X-CSRFToken": token},
        cookies=cookies | {"csrftoken": token},
        checks=[
            not_a_server_error,
            status_code_conformance,
            content_type_conformance,
            response_schema_conformance,
        ],
    )
