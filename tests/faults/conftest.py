"""A server for all rows that leave it as it was, and the table of what was tried, printed at the end."""

from collections.abc import Generator, Iterator
from pathlib import Path

import pytest

from tests.faults.counted import totals
from tests.faults.ground import Ground, prepared
from tests.faults.rows import RELEASE, ROWS, SEED
from tests.faults.trial import RAN, Trial


@pytest.fixture(scope="session")
def one_ground(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Ground]:
    with prepared(tmp_path_factory.mktemp("ground") / "farm") as ground:
        yield ground


@pytest.fixture
def ground(one_ground: Ground) -> Ground:
    """Shared; it runs, whatever the test before did to it."""
    if not one_ground.alive():
        one_ground.start()
    return one_ground


@pytest.fixture
def own_ground(tmp_path: Path) -> Iterator[Ground]:
    """For a fault that needs a folder and a database of its own."""
    with prepared(tmp_path / "farm") as ground:
        yield ground


@pytest.fixture
def trial(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Trial]:
    """Of the row that the test's marker names."""
    planted = request.node.get_closest_marker("planted")
    row = (planted or request.node.get_closest_marker("row")).args[0]
    made = Trial(row, request.node.nodeid, tmp_path, planted is not None)
    slow = request.node.get_closest_marker("slow") is not None and not RELEASE
    if slow or (made.times == 0 and not planted):
        pytest.skip(f"{row} runs at a release only")
    RAN.append(made)
    yield made
    made.held = getattr(request.node, "went_well", False)


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(
    item: pytest.Item, call: pytest.CallInfo[None]
) -> Generator[None, pytest.TestReport, pytest.TestReport]:
    report = yield
    made = next((made for made in RAN if made.test == item.nodeid), None)
    item.went_well = report.when == "call" and report.passed  # type: ignore[attr-defined]
    if made and report.skipped:
        RAN.remove(made)
    if made and report.failed:
        report.sections.append(("to try it again", made.again))
    return report


def pytest_terminal_summary(terminalreporter: pytest.TerminalReporter) -> None:
    if not RAN:
        return
    terminalreporter.section(f"faults, {'release' if RELEASE else 'a share'}")
    for made in RAN:
        terminalreporter.write_line(made.line())
    left = sorted(ROWS.keys() - {made.row for made in RAN})
    terminalreporter.write_line(f"seed {SEED}; not in this run: {' '.join(left) or 'none'}")
    for line in totals(RAN):
        terminalreporter.write_line(line)


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--row", help="only the tests of this row of the fault table")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    row = config.getoption("--row", None)
    if row:
        if row not in ROWS:
            raise pytest.UsageError(f"there is no row {row}; there are {' '.join(sorted(ROWS))}")
        marks = [[*item.iter_markers("row"), *item.iter_markers("planted")] for item in items]
        items[:] = [item for item, of in zip(items, marks, strict=True) if any(row in m.args for m in of)]


def pytest_sessionfinish(session: pytest.Session, exitstatus: int) -> None:
    """A row may be one that only Chromium tries, or only the server."""
    if session.config.getoption("--row", None) and exitstatus == pytest.ExitCode.NO_TESTS_COLLECTED:
        session.exitstatus = pytest.ExitCode.OK


def pytest_configure(config: pytest.Config) -> None:
    config.addinivalue_line("markers", "row(id): the row of the fault table that this test tries")
    config.addinivalue_line("markers", "slow: runs at a release only")
    config.addinivalue_line(
        "markers", "planted(id): shows that a broken promise would be noticed in that row"
    )
