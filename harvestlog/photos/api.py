"""PUT and GET /api/photos/{sha256}."""

import re

from django.core.files.storage import default_storage
from django.http import FileResponse, HttpRequest
from ninja import Router, Schema, Status

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Problem
from harvestlog.accounts.refusals import Refused, absent
from harvestlog.photos import actions, queries
from harvestlog.photos.pictures import MOST_BYTES, NoDesk, NotAPicture, TooManyPixels

router = Router(tags=["photos"])
CANNOT_BE_KEPT = (NotAPicture, TooManyPixels, actions.HashDiffers, actions.DemoFull)
OTHERS_FIRST = "Other pictures are being taken in. This one is sent again with the next pass."
SECONDS_FOR_A_PICTURE = 5
TYPES = {"image/jpeg", "image/png", "image/webp"}
SHA256 = re.compile(r"[0-9a-f]{64}")


class Kept(Schema):
    """Names the picture that is here now: a hotel's sign-in page, which answers 200 to anything, cannot."""

    sha256: str


@router.put(
    "/{sha256}", response={200: Kept, 201: Kept} | dict.fromkeys((400, 401, 403, 404, 413, 415, 422), Problem)
)
def put_picture(request: MemberRequest, sha256: str) -> Status[Kept]:
    """Takes the bytes of a picture that a photo record names. 201: kept now; 200: it was here already."""
    _refuse_impossible(sha256)
    if not queries.is_named(request.auth, sha256):
        raise absent()
    if queries.kept(request.auth, sha256):
        return Status(200, Kept(sha256=sha256))
    try:
        actions.keep_picture(farm=request.auth.farm_id, sha256=sha256, sent=_body(request))
    except CANNOT_BE_KEPT as refusal:
        raise Refused(422, refusal.code, str(refusal)) from refusal
    except NoDesk:
        raise Refused(503, "busy", OTHERS_FIRST, retry_after=SECONDS_FOR_A_PICTURE) from None
    return Status(201, Kept(sha256=sha256))


@router.get("/{sha256}", response={200: None, 401: Problem, 404: Problem})
def get_picture(request: MemberRequest, sha256: str) -> FileResponse:
    """The cleaned picture as a JPEG."""
    _refuse_impossible(sha256)
    file = queries.kept(request.auth, sha256)
    if file is None and queries.is_named(request.auth, sha256):
        file = actions.take_back(farm=request.auth.farm_id, sha256=sha256)
    if file is None:
        raise absent()
    answer = FileResponse(default_storage.open(file.name), content_type="image/jpeg")
    answer["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


def _refuse_impossible(sha256: str) -> None:
    """What no picture can be named is absent, and no database is asked: PostgreSQL cannot even take a NUL."""
    if not SHA256.fullmatch(sha256):
        raise absent()


def _body(request: HttpRequest) -> bytes:
    if request.content_type not in TYPES:
        raise Refused(
            415, "not_a_picture", f"{request.content_type!r} is no picture type. Send JPEG, PNG or WebP."
        )
    length = request.headers.get("Content-Length") or "0"
    if not length.isdecimal():
        raise Refused(400, "cut_off", f"Content-Length {length!r} is no number of bytes. Send it again.")
    if int(length) > MOST_BYTES:
        raise Refused(413, "too_large", "The picture is larger than 3 MB. Send a smaller one.")
    return request.body
