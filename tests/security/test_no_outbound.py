"""The server asks nobody anything: it does all it does in a network namespace that has the loopback alone.

Seen from inside, an address elsewhere cannot even be connected to; a program that needs one would fail or hang.
"""

import os
import subprocess
import sys
from pathlib import Path

import pytest

CHECKOUT = Path(__file__).resolve().parents[2]
ALONE = ["unshare", "--net", "--map-root-user", "--", "sh", "-c", 'ip link set lo up && exec "$@"', "sh"]
# Among them a real server, the typesetting of reports, exports, and every way in.
ASKED = [
    "tests/setup/test_up.py::test_the_phone_app_and_the_session_are_served",
    "tests/setup/test_up.py::test_the_demo_farm_can_be_looked_round", "tests/reports/test_shares.py", "tests/reports/test_exports.py",
    "tests/security/test_logs.py", "tests/security/alone.py",
]  # fmt: skip


def _why_not() -> str:
    if sys.platform != "linux":
        return "only Linux has network namespaces"
    try:
        tried = subprocess.run([*ALONE, "true"], capture_output=True, text=True, timeout=20)
    except (OSError, subprocess.TimeoutExpired) as missing:
        return str(missing)
    return "" if tried.returncode == 0 else tried.stderr.strip()


WHY_NOT = _why_not()


@pytest.mark.skipif(bool(WHY_NOT), reason=f"no network namespace here: {WHY_NOT}")
def test_what_the_server_does_it_does_with_the_loopback_alone() -> None:
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", *ASKED]
    quiet = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith(("HARVESTLOG_", "DJANGO_", "PYTEST_"))
    }
    ended = subprocess.run(
        [*ALONE, *command], cwd=CHECKOUT, env=quiet, capture_output=True, text=True, timeout=540
    )
    assert ended.returncode == 0, ended.stdout[-4000:] + ended.stderr[-1000:]


def test_no_module_of_the_server_imports_a_client_of_the_network() -> None:
    """Nothing to ask with: urllib's parsing is no client."""
    clients = (
        "urllib.request",
        "http.client",
        "requests",
        "httpx",
        "aiohttp",
        "smtplib",
        "ftplib",
        "django.core.mail",
    )
    found = [
        f"{path.name}: {client}"
        for path in (CHECKOUT / "harvestlog").rglob("*.py")
        for client in clients
        if f"import {client}" in (text := path.read_text()) or f"from {client}" in text
    ]
    assert found == []
