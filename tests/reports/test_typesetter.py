"""The typesetter: in a program of its own, one file at a time, and refusals in words where it cannot be had."""

import errno
import sys
from typing import Any

import pytest

from harvestlog.reports.paper import typesetter
from harvestlog.reports.supplier_report import pdf
from tests.cast import Cast
from tests.reports.reported import REPORTS, everybody, file, made, season, shared

LATER = b"This file cannot be made just now. Try again in a minute."


@pytest.fixture
def report(cast: Cast) -> str:
    return str(made(cast.owner, season(cast.owner))["id"])


@pytest.fixture
def busy() -> Any:
    """Two others are at the typesetter."""
    for _ in range(2):
        assert typesetter._places.acquire(blocking=False)
    yield
    typesetter._places.release(2)


@pytest.fixture
def full(monkeypatch: pytest.MonkeyPatch) -> None:
    """A disk without room for a folder."""

    def no_room(**_: str) -> None:
        raise OSError(errno.ENOSPC, "No space left on device")

    monkeypatch.setattr(pdf, "TemporaryDirectory", no_room)


def test_what_it_remembers_of_a_report_is_not_in_the_servers_memory(cast: Cast, report: str) -> None:
    assert file(cast.owner, report, "pdf").startswith(b"%PDF-")
    assert "typst" not in sys.modules


@pytest.mark.usefixtures("busy")
def test_a_third_who_asks_at_once_is_asked_to_try_again(cast: Cast, report: str) -> None:
    answer = cast.owner.phone.get(f"{REPORTS}/{report}/report.pdf")
    assert (answer.status_code, answer.json()["code"], answer["Retry-After"]) == (503, "busy", "60")


@pytest.mark.usefixtures("busy")
def test_so_is_whoever_holds_a_link(cast: Cast, report: str) -> None:
    answer = everybody().get(shared(cast.owner, report)["address"] + "/report.pdf")
    assert (answer.status_code, answer.content) == (503, LATER)


def test_a_file_that_takes_too_long_is_given_up_and_the_next_is_made(
    cast: Cast, report: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as hurried:
        hurried.setattr(typesetter, "LONGEST_S", 0.001)
        assert cast.owner.phone.get(f"{REPORTS}/{report}/report.pdf").status_code == 503
    assert file(cast.owner, report, "pdf").startswith(b"%PDF-")


@pytest.mark.usefixtures("full")
def test_on_a_full_disk_the_owner_is_told_so(cast: Cast, report: str) -> None:
    answer = cast.owner.phone.get(f"{REPORTS}/{report}/report.pdf")
    assert (answer.status_code, answer.json()["code"]) == (507, "full")


@pytest.mark.usefixtures("full")
def test_on_a_full_disk_whoever_holds_a_link_reads_the_page_and_is_asked_to_come_again(
    cast: Cast, report: str
) -> None:
    address = shared(cast.owner, report)["address"]
    assert everybody().get(address).status_code == 200
    answer = everybody().get(address + "/report.pdf")
    assert (answer.status_code, answer.content) == (503, LATER)
