"""The API, and what links to reports and calendars lead to; the page itself is a file that WhiteNoise serves."""

from django.urls import URLPattern, URLResolver, path

from harvestlog.api import api
from harvestlog.reports.calendar.api import read_calendar
from harvestlog.reports.shares.page import shared_file, shared_page

patterns, app_name, namespace = api.urls
for pattern in patterns:
    # django-ninja exempts its views from Django's CSRF check and repeats it only where a cookie is the guard.
    # Signing in, setting up and joining have no guard yet need the check: so every view is given back to Django.
    if isinstance(pattern, URLPattern):
        pattern.callback.csrf_exempt = False  # type: ignore[attr-defined]

urlpatterns: list[URLPattern | URLResolver] = [
    path("api/", (patterns, app_name, namespace)),
    path("c/<str:token>.ics", read_calendar),
    path("r/<str:token>", shared_page),
    path("r/<str:token>/report.pdf", shared_file, {"name": "report.pdf"}),
    path("r/<str:token>/report.zip", shared_file, {"name": "report.zip"}),
]

handler400 = "harvestlog.security.bad_request"
handler403 = "harvestlog.security.refused"
handler404 = "harvestlog.security.absent"
handler500 = "harvestlog.api.broken"
