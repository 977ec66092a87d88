"""`harvestlog password` where there are no records."""

import subprocess
from pathlib import Path

import pytest

from tests.setup import server


@pytest.mark.parametrize("there", [True, False])
def test_it_names_the_file_it_looked_for_and_makes_none(tmp_path: Path, there: bool) -> None:
    folder = tmp_path / "farm"
    if there:
        folder.mkdir()
    done = subprocess.run(
        [*server.command(), "password", "ada@example.org", "--data", str(folder)],
        capture_output=True,
        text=True,
        cwd="/",
        env=server.environment(),
    )
    assert (done.returncode, done.stderr.count("\n")) == (2, 1)
    assert f"{folder / 'harvestlog.sqlite3'} does not exist" in done.stderr
    assert "--data FOLDER" in done.stderr
    assert not list(tmp_path.rglob("*.sqlite3"))


def test_a_home_folder_may_be_written_with_a_tilde(tmp_path: Path) -> None:
    done = subprocess.run(
        [*server.command(), "password", "ada@example.org", "--data", "~/farm"],
        capture_output=True,
        text=True,
        cwd="/",
        env=server.environment({"HOME": str(tmp_path)}),
    )
    assert f"{tmp_path}/farm/harvestlog.sqlite3 does not exist" in done.stderr
