"""/r/<token>: a report for whoever holds its link. Nobody signs in here, and no cookie is set or asked for."""

import logging

from django.http import HttpRequest, HttpResponse
from django.utils import timezone
from django.views.decorators.http import require_safe

from harvestlog.accounts.refusals import Refused
from harvestlog.reports.shares.links import count_opening, open_share
from harvestlog.reports.supplier_report.files import TYPES, FileName, file_answer, page_of
from harvestlog.reports.supplier_report.page import POLICY, gone_page

log = logging.getLogger(__name__)
_LATER = "This file cannot be made just now. Try again in a minute."
_HEADERS = {
    "Content-Security-Policy": POLICY,
    "Cache-Control": "private, no-store",
    "Referrer-Policy": "no-referrer",
    "X-Robots-Tag": "noindex, nofollow, noarchive",
}


@require_safe
def shared_page(request: HttpRequest, token: str) -> HttpResponse:
    """The page. A GET counts as an opening; the HEAD of whoever only checks the link does not."""
    now = timezone.now()
    share = open_share(token, now)
    if share is None:
        return _gone()
    if request.method == "HEAD":
        return _with_headers(HttpResponse())
    page = page_of(share.report, files=f"/r/{token}")
    count_opening(share, now)
    return _with_headers(HttpResponse(page))


@require_safe
def shared_file(request: HttpRequest, token: str, name: FileName) -> HttpResponse:
    """report.pdf or report.zip; 503 where it cannot be made just now. It is the page that counts openings."""
    share = open_share(token, timezone.now())
    if share is None:
        return _gone()
    if request.method == "HEAD":
        return _with_headers(HttpResponse(content_type=TYPES[name]))
    try:
        return _with_headers(file_answer(share.report, name))
    except (Refused, OSError) as trouble:  # too much is asked at once, or the disk is full
        log.warning("a shared report's file could not be made: %s", trouble)
        return _with_headers(HttpResponse(_LATER, content_type="text/plain", status=503))


def _gone() -> HttpResponse:
    """One answer to the byte, whatever is the matter with the link."""
    return _with_headers(HttpResponse(gone_page(), status=404))


def _with_headers(answer: HttpResponse) -> HttpResponse:
    for name, value in _HEADERS.items():
        answer.headers[name] = value
    return answer
