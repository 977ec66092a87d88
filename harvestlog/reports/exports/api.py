"""GET /api/reports/records.zip and records.json: everything the farm has recorded, for its owners."""

from typing import Any

from django.http import FileResponse
from django.utils import timezone
from ninja import Router

from harvestlog.accounts.access import MemberRequest, sure_owner
from harvestlog.accounts.answers import Problem
from harvestlog.reports.exports.actions import Form, export_records

router = Router(tags=["reports"])
REFUSALS = {401: Problem, 403: Problem}


def described(media: str, schema: dict[str, str]) -> dict[str, Any]:
    """What the API's description says of a file."""
    return {"responses": {200: {"description": "The file", "content": {media: {"schema": schema}}}}}


@router.get(
    "/records.zip",
    auth=sure_owner,
    response={200: None, **REFUSALS},
    openapi_extra=described("application/zip", {"type": "string", "format": "binary"}),
)
def records_zip(request: MemberRequest) -> FileResponse:
    """One CSV for each kind of record, and datapackage.json (Frictionless Data Package), which says what is in them."""
    return _file(request, "zip", "application/zip")


@router.get(
    "/records.json",
    auth=sure_owner,
    response={200: None, **REFUSALS},
    openapi_extra=described("application/json", {"type": "object"}),
)
def records_json(request: MemberRequest) -> FileResponse:
    """The same Data Package in one file, each table's rows beside what is said of it."""
    return _file(request, "json", "application/json")


def _file(request: MemberRequest, form: Form, media: str) -> FileResponse:
    name = f"harvestlog-records-{timezone.now():%Y-%m-%d}.{form}"
    file = export_records(by=request.auth, form=form)
    return FileResponse(file, as_attachment=True, filename=name, content_type=media)
