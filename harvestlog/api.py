"""The API: which router answers where, how a body is read, and the one shape of every refusal."""

import errno
import logging
import sys
from collections.abc import Callable
from functools import wraps
from typing import Any

from django.conf import settings
from django.core.exceptions import RequestDataTooBig
from django.db import InterfaceError, OperationalError, connection
from django.http import Http404, HttpRequest, HttpResponse, UnreadablePostError
from ninja import NinjaAPI
from ninja.errors import HttpError, ValidationError
from ninja.parser import Parser
from pydantic_core import from_json

from harvestlog.accounts.access import member_of, signed_in
from harvestlog.accounts.api import router as accounts
from harvestlog.accounts.refusals import Refused, absent, signed_out
from harvestlog.accounts.wording import field, reason
from harvestlog.copies.api import router as copies
from harvestlog.photos.api import router as photos
from harvestlog.reports.api import router as reports
from harvestlog.sync.api import router as sync
from harvestlog.sync.history_api import router as history

CODES = {401: "signed_out", 403: "not_allowed", 404: "absent", 413: "too_large", 415: "unsupported_type"}
MOST_JSON_BYTES = 256 * 1024  # the largest batch of a phone
MOST_FAULTS = 20  # whoever reads them puts the first ones right and sends again
SECONDS_UNTIL_NEXT_TRY = 10
POSTGRESQL_DISK_FULL = "53100"
View = Callable[..., HttpResponse]
log = logging.getLogger(__name__)


class JsonBody(Parser):
    """Stricter than Python's json: no NaN, no half surrogate pairs, no endless nesting or digits, no end of bytes."""

    def parse_body(self, request: HttpRequest) -> dict[str, Any]:
        if request.content_type != "application/json":
            raise Refused(
                415,
                "unsupported_type",
                f"{request.content_type!r} is not accepted here. Send application/json.",
            )
        if len(request.body) > MOST_JSON_BYTES:  # parsed, it would take a hundred times as much memory
            kilobytes = MOST_JSON_BYTES // 1024
            raise Refused(413, "too_large", f"One request holds at most {kilobytes} kB. Send less at once.")
        body: dict[str, Any] = from_json(request.body, allow_inf_nan=False)
        return body


def members_only(view: View) -> View:
    """The description of the API is for those who may use it."""

    @wraps(view)
    def guarded(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
        if settings.DEBUG or member_of(request):
            return view(request, *args, **kwargs)
        return refuse(request, signed_out())

    return guarded


api = NinjaAPI(
    title="harvestlog",
    version=settings.VERSION,
    auth=signed_in,  # an operation that forgets its guard is closed, not open
    parser=JsonBody(),
    docs_url=None,
    docs_decorator=members_only,
    urls_namespace="api",
)
api.add_router("", accounts)
api.add_router("/farm/copies", copies)
api.add_router("/sync", sync)
api.add_router("/sync", history)
api.add_router("/photos", photos)
api.add_router("/reports", reports)


@api.exception_handler(Refused)
def refuse(request: HttpRequest, refused: Refused) -> HttpResponse:
    said = {"code": refused.code, "message": refused.message, **refused.extra}
    response = api.create_response(request, said, status=refused.status)
    if "retry_after" in refused.extra:
        response.headers["Retry-After"] = str(refused.extra["retry_after"])
    return response


@api.exception_handler(ValidationError)
def refuse_shape(request: HttpRequest, error: ValidationError) -> HttpResponse:
    errors = [{"field": field(fault), "reason": reason(fault)} for fault in error.errors[:MOST_FAULTS]]
    message = f"{errors[0]['field']} {errors[0]['reason']}"
    return refuse(request, Refused(422, "invalid", message, errors=errors))


@api.exception_handler(HttpError)
def refuse_by_status(request: HttpRequest, error: HttpError) -> HttpResponse:
    """django-ninja's own refusals; it says 400 for whatever reading the body raised."""
    if isinstance(error.__cause__, Refused):
        return refuse(request, error.__cause__)
    if error.status_code == 400:
        errors = [{"field": "body", "reason": "is not JSON."}]
        return refuse(request, Refused(422, "invalid", "body is not JSON.", errors=errors))
    return refuse(request, Refused(error.status_code, CODES.get(error.status_code, "refused"), error.message))


@api.exception_handler(Http404)
def refuse_absent(request: HttpRequest, error: Http404) -> HttpResponse:
    return refuse(request, absent())


@api.exception_handler(RequestDataTooBig)
def refuse_large(request: HttpRequest, error: RequestDataTooBig) -> HttpResponse:
    return refuse(
        request, Refused(413, "too_large", "That is more than the server takes at once. Send less.")
    )


@api.exception_handler(UnreadablePostError)
def refuse_cut(request: HttpRequest, error: UnreadablePostError) -> HttpResponse:
    """The connection broke inside the body: whoever is still listening may send it again."""
    return refuse(request, Refused(408, "cut_off", "The request did not arrive whole. Send it again."))


@api.exception_handler(OperationalError)
@api.exception_handler(InterfaceError)
def refuse_busy(request: HttpRequest, error: OperationalError | InterfaceError) -> HttpResponse:
    refusal = _passing(error)
    if refusal is None:
        raise error
    return refuse(request, refusal)


def broken(request: HttpRequest) -> HttpResponse:
    """Django's handler of what nobody else handled. Sessions are read and saved around the views, out of reach of the API."""
    error = sys.exc_info()[1]
    refusal = _passing(error) if isinstance(error, OperationalError | InterfaceError) else None
    words = "Something went wrong on the server. What you recorded is still on your phone."
    return refuse(request, refusal or Refused(500, "broken", words))


def _passing(error: OperationalError | InterfaceError) -> Refused | None:
    """What passes by itself: another writer, a lock, a database that is being restarted. The phone tries again."""
    said = str(error)
    if "disk is full" in said or getattr(error.__cause__, "sqlstate", "") == POSTGRESQL_DISK_FULL:
        return _full(error)
    if connection.vendor == "sqlite" and "locked" not in said:
        return None  # a damaged file, a missing table: nobody helps by trying again
    log.warning("the database was busy: %s", said.strip())
    message = "The server is busy. What you recorded stays on your phone; try again shortly."
    return Refused(503, "busy", message, retry_after=SECONDS_UNTIL_NEXT_TRY)


@api.exception_handler(OSError)
def refuse_full(request: HttpRequest, error: OSError) -> HttpResponse:
    if error.errno not in {errno.ENOSPC, errno.EDQUOT}:
        raise error
    return refuse(request, _full(error))


def _full(error: Exception) -> Refused:
    log.error("the disk is full: %s", error)
    return Refused(
        507,
        "full",
        "The server's disk is full. What you recorded stays on your phone; tell whoever runs the server.",
    )
