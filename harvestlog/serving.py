"""Listening: what is checked before, and granian afterwards."""

import argparse
import errno
import os
import signal
import socket
import ssl
import sys
import threading
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

from harvestlog import sqlite
from harvestlog.refusal import Refusal

EVERY_ADDRESS = ("0.0.0.0", "::")  # noqa: S104 - named to recognise them, not to listen there
# Requests at work at once. SQLite takes one writer at a time, so more would only wait.
THREADS = 4
# From the connection to the end of what is asked; a body has its own time, in the doorway.
SECONDS_TO_ASK = 15
# A phone that keeps its connection open must not keep the server from stopping.
SECONDS_TO_FINISH = 10
SECONDS_TO_LISTEN = 30
SECONDS_BETWEEN_LOOKS = 0.5


def check_port(host: str, port: int) -> None:
    """Raises Refusal when nobody can listen there. granian shares a port in use instead of complaining."""
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
        with socket.socket(family, kind, protocol) as trial:
            trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except socket.gaierror:
        raise Refusal(f"--host {host} is no address of this machine. Try 127.0.0.1") from None
    except OSError as error:
        raise Refusal(_why_not(error, host, port)) from None


def number_of(host: str, port: int) -> str:
    """The numeric address behind a name such as localhost: granian listens on nothing else."""
    return str(socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0][4][0])


def _why_not(error: OSError, host: str, port: int) -> str:
    if error.errno == errno.EADDRINUSE:
        return (
            f"port {port} is in use. Stop the other program, or choose another one: --port {port % 65535 + 1}"
        )
    if error.errno == errno.EACCES:
        return f"port {port} is not for this account. Choose one above 1023: --port 8000"
    return f"cannot listen on {host} port {port}: {error.strerror}"


def check_tls(certificate: Path | None, key: Path | None) -> None:
    """Raises Refusal unless there is neither file, or a certificate and the key that belongs to it."""
    if (certificate is None) != (key is None):
        raise Refusal("give --tls-cert and --tls-key together, or neither")
    if certificate is None or key is None:
        return
    try:
        ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER).load_cert_chain(certificate, key)
    except OSError as error:  # SSLError is one
        raise Refusal(f"cannot use {certificate} with {key}: {error.strerror or error}") from None


def address(options: argparse.Namespace) -> str:
    """The one address to open."""
    host = options.host
    if options.allow_host:
        host = options.allow_host[0]
    elif host in EVERY_ADDRESS:
        host = "127.0.0.1"
    scheme = "https" if options.tls_cert else "http"
    return f"{scheme}://{f'[{host}]' if ':' in host else host}:{options.port}/"


def serve(options: argparse.Namespace, code: str | None) -> None:
    """Serves until SIGTERM or SIGINT, letting requests at work finish."""
    from granian.constants import HTTPModes, Interfaces
    from granian.http import HTTP1Settings
    from granian.log import LogLevels
    from granian.server import Server

    Server(
        "harvestlog.doorway",
        address=number_of(options.host, options.port),
        port=options.port,
        interface=Interfaces.ASGINL,
        http=HTTPModes.http1,  # left to guess the protocol, it would wait for ever for a connection that says nothing
        http1_settings=HTTP1Settings(header_read_timeout=SECONDS_TO_ASK * 1000),
        websockets=False,
        workers=1,
        workers_kill_timeout=SECONDS_TO_FINISH,
        log_level=LogLevels.error,
        ssl_cert=options.tls_cert,
        ssl_key=options.tls_key,
    ).serve(
        target_loader=partial(_load, os.getpid(), options.host, options.port, _greeting(options, code)),
        wrap_loader=False,
    )


def _greeting(options: argparse.Namespace, code: str | None) -> str:
    lines = [f"harvestlog is at {address(options)}"]
    if code:
        lines.append(f"Set-up code for your farm: {code}")
    if options.host in EVERY_ADDRESS and not options.allow_host and not os.environ.get("HARVESTLOG_HOSTS"):
        lines.append(
            "Phones are turned away until you name this machine: add --allow-host with the name or address they type."
        )
    if options.host in EVERY_ADDRESS and not options.tls_cert:
        lines.append(
            "Phones keep harvestlog for use without signal only over https: see --tls-cert and --tls-key."
        )
    lines.append("Stop it with Ctrl-C.")
    return "\n".join(lines) + "\n"


def _load(parent: int, host: str, port: int, greeting: str) -> Callable[..., Any]:
    """Runs in the serving process: gives the application, and greets once the port answers."""
    from django.conf import settings
    from django.db import connection
    from django.urls import get_resolver

    from harvestlog.copies import daily, locks
    from harvestlog.doorway import Doorway
    from harvestlog.wsgi import application

    locks.hold(settings.DATA)  # this process may outlive the one that started it by a moment
    _ = get_resolver().url_patterns  # a fault there should stop the start, not the first phone
    threading.Thread(target=_greet, args=(host, port, greeting), daemon=True).start()
    threading.Thread(target=_follow, args=(parent,), daemon=True).start()
    if connection.vendor == "sqlite":
        sqlite.keep_open(Path(connection.settings_dict["NAME"]))
    daily.start()
    return Doorway(application, threads=THREADS, most_bytes=settings.DATA_UPLOAD_MAX_MEMORY_SIZE)


def _follow(parent: int) -> None:
    """Stops this process when the one that started it was killed: left alone it would keep the port for ever."""
    while os.getppid() == parent:
        time.sleep(SECONDS_BETWEEN_LOOKS)
    os.kill(os.getpid(), signal.SIGTERM)


def _greet(host: str, port: int, greeting: str) -> None:
    near = {"0.0.0.0": "127.0.0.1", "::": "::1"}.get(host, host)  # noqa: S104
    deadline = time.monotonic() + SECONDS_TO_LISTEN
    while time.monotonic() < deadline:
        try:
            socket.create_connection((near, port), timeout=1).close()
        except OSError:
            time.sleep(0.02)
            continue
        sys.stdout.write(greeting)
        sys.stdout.flush()
        return
