"""The `harvestlog` command: makes what a first start needs, then serves the farm.

Nothing of Django is imported before the environment is set: settings read it once.
"""

import argparse
import os
import sys
from collections.abc import Sequence
from pathlib import Path

from harvestlog import __version__, serving
from harvestlog.refusal import Refusal


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the command. Returns the exit code: 2 for what the caller can put right, with a sentence saying how."""
    parser = _parser()
    options = parser.parse_args(argv)
    if options.command is None:
        parser.print_help()
        return 0
    try:
        _up(options)
    except Refusal as refusal:
        sys.stderr.write(f"harvestlog: {refusal}\n")
        return 2
    except KeyboardInterrupt:
        return 130
    return 0


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="harvestlog", description="Harvest records for a small mushroom farm."
    )
    parser.add_argument("--version", action="version", version=__version__)
    up = parser.add_subparsers(dest="command", metavar="up").add_parser(
        "up", help="start the server", description="Starts the server. The first start makes the data folder."
    )
    up.add_argument(
        "--host", default="127.0.0.1", help="the address to listen on (this machine only: 127.0.0.1)"
    )
    up.add_argument("--port", default=8000, type=_port, help="the port to listen on (8000)")
    up.add_argument(
        "--data", type=Path, metavar="DIR", help="the folder that holds the farm's records and photos"
    )
    up.add_argument("--tls-cert", type=Path, metavar="FILE", help="serve https with this certificate (PEM)")
    up.add_argument("--tls-key", type=Path, metavar="FILE", help="the certificate's private key (PEM)")
    up.add_argument(
        "--allow-host", action="append", default=[], metavar="NAME", help="a name phones know it by"
    )
    return parser


def _port(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= 65535):
        raise argparse.ArgumentTypeError(
            f"{typed!r} is no port; choose a number from 1 to 65535, for example 8000"
        )
    return int(typed)


def _up(options: argparse.Namespace) -> None:
    os.umask(0o077)  # whatever the server writes is for its own account only
    serving.check_tls(options.tls_cert, options.tls_key)
    serving.check_port(options.host, options.port)
    _set_environment(options)
    from harvestlog import first_run  # Django is not needed for a wrong option or for --help

    code = first_run.prepare()
    serving.serve(options, code)


def _set_environment(options: argparse.Namespace) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "harvestlog.settings"
    if options.data:
        os.environ["HARVESTLOG_DATA"] = str(options.data.absolute())
    if options.tls_cert:
        os.environ["HARVESTLOG_HTTPS"] = "1"
    hosts = [os.environ.get("HARVESTLOG_HOSTS", ""), *options.allow_host]
    if options.host not in serving.EVERY_ADDRESS:
        hosts.append(options.host)
    os.environ["HARVESTLOG_HOSTS"] = ",".join(host for host in hosts if host)
