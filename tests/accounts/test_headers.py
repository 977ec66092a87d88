"""What every answer tells the browser, and the shape of refusals made before any view."""

from pathlib import Path

import pytest
from django.http import HttpResponse
from django.test import Client, override_settings
from django.urls import path

from harvestlog.security import HEADERS
from tests.cast import Browser, Cast

POLICY = {
    "default-src 'none'", "script-src 'self'", "style-src 'self'", "img-src 'self' blob: data:", "font-src 'self'",
    "connect-src 'self'", "manifest-src 'self'", "worker-src 'self'", "form-action 'self'", "base-uri 'none'",
    "frame-ancestors 'none'", "require-trusted-types-for 'script'", "trusted-types harvestlog",
}  # fmt: skip


@pytest.fixture
def page(tmp_path: Path, settings) -> Client:
    """A server whose compiled phone app is one page."""
    (tmp_path / "index.html").write_text("<!doctype html><title>harvestlog</title>")
    settings.WHITENOISE_ROOT = tmp_path
    return Client()


def test_the_page_carries_the_content_security_policy(page: Client) -> None:
    answer = page.get("/")
    assert answer.status_code == 200
    assert set(answer.headers["Content-Security-Policy"].split("; ")) == POLICY


@pytest.mark.django_db
@pytest.mark.parametrize("where", ["/", "/api/session", "/api/farm", "/api/nowhere", "/nowhere", "/api/"])
def test_every_answer_carries_every_header(where: str, page: Client) -> None:
    answer = page.get(where)
    assert {name: answer.headers.get(name) for name in HEADERS} == HEADERS


def test_the_headers_are_these() -> None:
    said = dict(HEADERS)
    said.pop("Content-Security-Policy")
    denied = said.pop("Permissions-Policy")
    assert said == {
        "X-Content-Type-Options": "nosniff",
        "X-Frame-Options": "DENY",
        "Referrer-Policy": "no-referrer",
        "Cross-Origin-Opener-Policy": "same-origin",
        "Cross-Origin-Resource-Policy": "same-origin",
    }
    assert {"camera=()", "microphone=()", "geolocation=()"} <= set(denied.split(", "))


def test_no_answer_of_the_api_is_kept_by_a_cache(visitor: Browser, cast: Cast) -> None:
    for answer in (visitor.get("/api/session"), visitor.get("/api/farm"), visitor.get("/api/nowhere")):
        assert answer.headers["Cache-Control"] == "no-store"


def picture(request) -> HttpResponse:
    return HttpResponse("", headers={"Cache-Control": "private, immutable"})


urlpatterns = [path("api/picture", picture)]


@override_settings(ROOT_URLCONF=__name__)
def test_an_answer_that_says_how_long_it_keeps_is_left_alone() -> None:
    assert Client().get("/api/picture").headers["Cache-Control"] == "private, immutable"


def test_a_path_of_nothing_is_absent(visitor: Browser) -> None:
    answer = visitor.get("/api/nowhere")
    assert (answer.status_code, answer.json()["code"]) == (404, "absent")


def test_a_method_of_nothing_says_which_there_are(visitor: Browser) -> None:
    answer = visitor.post("/api/farm", {})
    assert (answer.status_code, answer.json()["code"]) == (405, "wrong_method")
    assert set(answer.headers["Allow"].split(", ")) == {"GET", "PATCH"}


def test_a_host_of_somebody_elses_is_refused_in_the_same_shape() -> None:
    answer = Client().get("/api/session", headers={"Host": "evil.example"})
    assert (answer.status_code, answer.json()["code"]) == (400, "bad_request")


def test_a_fault_of_the_server_says_nothing_of_its_inside(
    cast: Cast, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail(member: object) -> None:
        raise RuntimeError("the secret inside")

    monkeypatch.setattr("harvestlog.accounts.queries.farm_page", fail)
    cast.owner.phone.client.raise_request_exception = False
    answer = cast.owner.phone.get("/api/farm")
    assert (answer.status_code, answer.json()["code"]) == (500, "broken")
    assert "secret" not in answer.content.decode()


def test_the_description_of_the_api_is_for_members(visitor: Browser, cast: Cast) -> None:
    assert visitor.get("/api/openapi.json").status_code == 401
    assert "/api/farm" in cast.viewer.phone.get("/api/openapi.json").json()["paths"]


def test_there_is_no_page_to_try_the_api_on(cast: Cast) -> None:
    assert cast.owner.phone.get("/api/docs").status_code == 404
