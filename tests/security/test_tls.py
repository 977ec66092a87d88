"""Over TLS: what the deployment check, the cookies and the versions of the protocol say."""

import os
import socket
import ssl
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from contextlib import suppress
from pathlib import Path

import pytest

from harvestlog import security
from harvestlog.doorway import TurnedAway
from tests.setup.server import CHECKOUT, Served, environment, free_port, start


def certificate(folder: Path) -> tuple[Path, Path]:
    """A self-signed one for 127.0.0.1."""
    cert, key = folder / "cert.pem", folder / "key.pem"
    asked = [
        "openssl",
        "req",
        "-x509",
        "-newkey",
        "ec",
        "-pkeyopt",
        "ec_paramgen_curve:P-256",
        "-nodes",
        "-days",
        "2",
    ]
    names = ["-subj", "/CN=localhost", "-addext", "subjectAltName=IP:127.0.0.1"]
    subprocess.run([*asked, *names, "-keyout", key, "-out", cert], check=True, capture_output=True)
    return cert, key


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    folder = tmp_path_factory.mktemp("tls")
    cert, key = certificate(folder)
    running = start(folder / "data", free_port(), "--tls-cert", str(cert), "--tls-key", str(key))
    yield running
    running.stop()


def unchecked() -> ssl.SSLContext:
    context = ssl.create_default_context()
    context.check_hostname, context.verify_mode = False, ssl.CERT_NONE
    return context


def headers_of(served: Served, path: str) -> list[tuple[str, str]]:
    asked = urllib.request.Request(served.url + path)  # noqa: S310
    try:
        with urllib.request.urlopen(asked, context=unchecked(), timeout=20) as answer:  # noqa: S310
            return list(answer.headers.items())
    except urllib.error.HTTPError as refusal:
        return list(refusal.headers.items())


@pytest.mark.parametrize(
    "path", ["", "sw.js", "api/session", "api/farm", "nowhere", "r/x", "manifest.webmanifest"]
)
def test_every_answer_asks_to_be_asked_over_tls_for_a_year(served: Served, path: str) -> None:
    told = [value for name, value in headers_of(served, path) if name.lower() == "strict-transport-security"]
    assert told == ["max-age=31536000"]


def test_a_refusal_of_the_doorway_asks_it_too(settings) -> None:
    settings.SECURE_HSTS_SECONDS = 31_536_000
    assert ("Strict-Transport-Security", "max-age=31536000") in TurnedAway(
        413, "too_large", ""
    ).answer.headers


def test_without_tls_nothing_is_said_of_it() -> None:
    assert "Strict-Transport-Security" not in security.every_header()


def test_cookies_are_for_this_host_over_tls_alone(served: Served) -> None:
    cookies = [value for name, value in headers_of(served, "api/session") if name.lower() == "set-cookie"]
    assert cookies
    for cookie in cookies:
        assert cookie.startswith("__Host-csrftoken=")
        parts = {part.strip().lower() for part in cookie.split(";")[1:]}
        assert {"secure", "samesite=strict", "path=/"} <= parts
        assert not any(part.startswith("domain") for part in parts)


def test_the_latest_tls_is_spoken(served: Served) -> None:
    context = unchecked()
    port = int(served.url.rstrip("/").rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), 10) as line, context.wrap_socket(line) as spoken:
        assert spoken.version() == "TLSv1.3"


@pytest.mark.filterwarnings("ignore::DeprecationWarning")
@pytest.mark.parametrize("version", [ssl.TLSVersion.TLSv1, ssl.TLSVersion.TLSv1_1, ssl.TLSVersion.TLSv1_2])
def test_old_tls_is_not_spoken(served: Served, version: ssl.TLSVersion) -> None:
    context = unchecked()
    context.set_ciphers("ALL:@SECLEVEL=0")  # so that it is the server who refuses
    context.minimum_version = context.maximum_version = version
    port = int(served.url.rstrip("/").rpartition(":")[2])
    with (
        socket.create_connection(("127.0.0.1", port), 10) as line,
        pytest.raises(ssl.SSLError, match=r"(?i)alert (protocol version|handshake failure)"),
    ):
        context.wrap_socket(line)


def test_plain_http_is_not_answered_where_tls_is_spoken(served: Served) -> None:
    port = int(served.url.rstrip("/").rpartition(":")[2])
    with socket.create_connection(("127.0.0.1", port), 10) as line:
        line.sendall(b"GET /api/session HTTP/1.1\r\nHost: localhost\r\n\r\n")
        said = b""
        with suppress(ConnectionResetError):
            said = line.recv(4096)
    assert b"200" not in said
    assert b"harvestlog" not in said


def test_the_deployment_check_has_nothing_to_say(tmp_path: Path) -> None:
    data = tmp_path / "data"
    data.mkdir(mode=0o700)
    program = f"""
from pathlib import Path
from harvestlog.first_run import keep_key
keep_key(Path({str(data / "secret-key")!r}))
from django.core.management import execute_from_command_line
execute_from_command_line(["manage", "check", "--deploy", "--fail-level", "WARNING"])
"""
    told = {
        "HARVESTLOG_DATA": str(data),
        "HARVESTLOG_HTTPS": "1",
        "DJANGO_SETTINGS_MODULE": "harvestlog.settings",
    }
    ended = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, env=environment(told), cwd=CHECKOUT
    )
    assert (ended.returncode, "no issues" in ended.stdout) == (0, True), ended.stderr
    assert os.stat(data / "secret-key").st_mode & 0o777 == 0o600
