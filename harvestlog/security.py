"""What every answer carries for the browser, and the refusals that Django makes before any view is asked."""

import logging
import re
import time
from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase, JsonResponse

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "font-src 'self'",
        "connect-src 'self'",
        "manifest-src 'self'",
        "worker-src 'self'",
        "form-action 'self'",
        "base-uri 'none'",
        "frame-ancestors 'none'",
        "require-trusted-types-for 'script'",
        "trusted-types harvestlog",  # the one policy: it names the service worker
    )
)
# Pictures are taken through a file input, which needs no permission: the page may be denied all of them.
_DENIED = (
    "accelerometer", "autoplay", "browsing-topics", "camera", "display-capture", "encrypted-media", "fullscreen",
    "geolocation", "gyroscope", "hid", "magnetometer", "microphone", "midi", "payment", "picture-in-picture",
    "publickey-credentials-get", "serial", "usb", "xr-spatial-tracking",
)  # fmt: skip
HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    "Referrer-Policy": "no-referrer",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": ", ".join(f"{feature}=()" for feature in _DENIED),
}


def every_header() -> dict[str, str]:
    """HEADERS, and over TLS that this server is never to be asked without it (RFC 6797).

    Django's SecurityMiddleware says it too, but stands below the files of the app and the refusals of the doorway.
    """
    if not settings.SECURE_HSTS_SECONDS:
        return HEADERS
    return HEADERS | {"Strict-Transport-Security": f"max-age={settings.SECURE_HSTS_SECONDS}"}


# What a form on somebody else's page can send without asking first.
FORM_TYPES = {"application/x-www-form-urlencoded", "multipart/form-data", "text/plain"}
SAFE = {"GET", "HEAD", "OPTIONS", "TRACE"}

# A link to a report or a calendar: whoever reads it in a log could use it.
_LINK = re.compile(r"(/[rc]/)[^/\s]+")

Answer = Callable[[HttpRequest], HttpResponseBase]


class LogLine(logging.Formatter):
    """When in UTC, how grave, which part of the program, and what."""

    converter = time.gmtime  # type: ignore[assignment]  # typeshed wants a function bound to nothing

    def __init__(self) -> None:
        super().__init__("{asctime}Z {levelname} {name}: {message}", "%Y-%m-%dT%H:%M:%S", "{")


class NoTokens(logging.Filter):
    """Of the console: takes the tokens out of paths that Django logs, such as those of refused requests."""

    def filter(self, record: logging.LogRecord) -> bool:
        if isinstance(record.args, tuple):
            record.args = tuple(
                _LINK.sub(r"\1…", arg) if isinstance(arg, str) else arg for arg in record.args
            )
        return True


def headers(get_response: Answer) -> Answer:
    """Middleware, outermost: static files, pages and errors alike leave with these headers."""

    def answer(request: HttpRequest) -> HttpResponseBase:
        of_api = request.path_info.startswith("/api/")
        if of_api and request.method not in SAFE and request.content_type in FORM_TYPES:
            response: HttpResponseBase = _form_refused(request)
        else:
            response = get_response(request)
        if of_api and response.status_code == 405:
            response = _method_refused(response)
        # A shared report's page is stricter than the app: it has no script, and names its one style by a hash.
        policy = response.headers.get("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        for name, value in every_header().items():
            response.headers[name] = value
        response.headers["Content-Security-Policy"] = policy
        if of_api:
            response.headers.setdefault("Cache-Control", "no-store")
        return response

    return answer


def problem(status: int, code: str, message: str) -> JsonResponse:
    return JsonResponse({"code": code, "message": message}, status=status)


def _form_refused(request: HttpRequest) -> JsonResponse:
    return problem(
        415, "unsupported_type", f"{request.content_type!r} is not accepted here. Send application/json."
    )


def _method_refused(response: HttpResponseBase) -> JsonResponse:
    allowed = response.headers.get("Allow", "")
    refusal = problem(405, "wrong_method", f"Only {allowed} can be asked for here.")
    refusal.headers["Allow"] = allowed
    return refusal


def csrf_refused(request: HttpRequest, reason: str = "") -> JsonResponse:
    """CSRF_FAILURE_VIEW. `reason` is for the log, which Django writes itself."""
    return problem(
        403, "csrf", "This request did not come from the app itself. Reload the page and try again."
    )


def bad_request(request: HttpRequest, exception: Exception) -> JsonResponse:
    return problem(400, "bad_request", "The server could not read this request.")


def refused(request: HttpRequest, exception: Exception) -> JsonResponse:
    return problem(403, "not_allowed", "You cannot do that.")


def absent(request: HttpRequest, exception: Exception) -> JsonResponse:
    return problem(404, "absent", "There is nothing here by that name.")
