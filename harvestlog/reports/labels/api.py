"""/api/reports/jar-labels: labels for jars, on A4."""

from typing import Annotated, Any

from django.http import HttpResponse
from ninja import Router
from pydantic import Field

from harvestlog.accounts.access import MemberRequest
from harvestlog.accounts.answers import Invalid, Problem
from harvestlog.accounts.wire import Id, Strict
from harvestlog.reports.labels.sheet import (
    MOST_JARS,
    ON_A_SHEET,
    jars_wanted,
    label_words,
    labels_sheet,
    packed_last,
)

router = Router(tags=["reports"])
REFUSALS: dict[Any, Any] = dict.fromkeys((400, 401, 403, 413, 415), Problem) | {422: Invalid}


class LabelsWanted(Strict):
    """`start`: which label of the first sheet is still there to print on."""

    jars: Annotated[list[Id], Field(min_length=1, max_length=MOST_JARS)]
    start: Annotated[int, Field(ge=1, le=ON_A_SHEET)] = 1


@router.post("/jar-labels", response={200: None} | REFUSALS)
def jar_labels(request: MemberRequest, wanted: LabelsWanted) -> HttpResponse:
    """A PDF, in the order of the jars; each QR code leads to the jar's page at the address this was asked from."""
    jars = jars_wanted(request.auth, wanted.jars)
    words = label_words(request.auth, jars, f"{request.scheme}://{request.get_host()}")
    answer = HttpResponse(
        labels_sheet(words, wanted.start, packed_last(jars)), content_type="application/pdf"
    )
    answer["Content-Disposition"] = 'attachment; filename="jar-labels.pdf"'
    answer["Cache-Control"] = "private, no-store"
    return answer
