"""What `make` runs for those who work from a checkout: each path is one word for the shell, whatever is in it."""

import os
import shlex
import shutil
import subprocess

import pytest

from tests.setup.server import CHECKOUT

pytestmark = pytest.mark.skipif(not shutil.which("make"), reason="make is not here")
STICK, FARM = "/media/ann/USB STICK", "/home/ann/o'neil's farm"


def ran(*words: str) -> list[str]:
    """The command that `make` would run, as the shell takes it apart."""
    env = {name: value for name, value in os.environ.items() if not name.startswith(("HARVESTLOG_", "MAKE"))}
    done = subprocess.run(
        ["make", "-n", *words], cwd=CHECKOUT, capture_output=True, text=True, check=True, env=env
    )
    (line,) = [line for line in done.stdout.splitlines() if "-m harvestlog" in line]
    return shlex.split(line)[3:]


def test_a_copy_goes_to_a_stick_with_a_space_in_its_name() -> None:
    assert ran("backup", f"TO={STICK}", f"DATA={FARM}") == ["backup", "--data", FARM, "--to", STICK]


def test_a_copy_is_put_back_from_a_stick_with_a_space_in_its_name() -> None:
    copy = f"{STICK}/2026-05-03_074000_by-hand"
    assert ran("restore", f"COPY={copy}", f"DATA={FARM}") == ["restore", copy, "--data", FARM]


def test_a_forgotten_password_is_looked_for_where_make_up_keeps_the_records() -> None:
    assert ran("password", "EMAIL=you@example.org") == ["password", "you@example.org", "--data", "data"]


def test_what_is_needed_for_https_can_be_said() -> None:
    options = "--host 0.0.0.0 --allow-host farm.example.org --tls-cert cert.pem --tls-key key.pem"
    assert ran("up", f"OPTIONS={options}", f"DATA={FARM}") == [
        "up", "--host", "127.0.0.1", "--port", "8000", "--data", FARM, *options.split(),
    ]  # fmt: skip
