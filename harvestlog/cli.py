"""The `harvestlog` command: makes what a first start needs, then serves the farm; copies and restores; opens a locked door.

Nothing of Django is imported before the environment is set: settings read it once.
"""

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from harvestlog import __version__, serving
from harvestlog.refusal import Refusal

if TYPE_CHECKING:
    Commands = argparse._SubParsersAction[argparse.ArgumentParser]


def main(argv: Sequence[str] | None = None) -> int:
    """Runs the command. Returns the exit code: 2 for what the caller can put right, with a sentence saying how."""
    parser = _parser()
    options = parser.parse_args(argv)
    if options.command is None:
        parser.print_help()
        return 0
    os.umask(0o077)  # whatever is written is for this account only
    try:
        return COMMANDS[options.command](options)
    except Refusal as refusal:
        sys.stderr.write(f"harvestlog: {refusal}\n")
        return 2
    except KeyboardInterrupt:
        return 130


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="harvestlog", description="Harvest records for a small mushroom farm."
    )
    parser.add_argument("--version", action="version", version=__version__)
    commands = parser.add_subparsers(dest="command", metavar="up | backup | restore | password")
    _add_up(commands)
    _add_backup(commands)
    _add_restore(commands)
    _add_password(commands)
    return parser


def _add_up(commands: "Commands") -> None:
    up = commands.add_parser(
        "up", help="start the server", description="Starts the server. The first start makes the data folder."
    )
    up.add_argument(
        "--host", default="127.0.0.1", help="the address to listen on (this machine only: 127.0.0.1)"
    )
    up.add_argument("--port", default=8000, type=_port, help="the port to listen on (8000)")
    _add_data(up)
    up.add_argument("--tls-cert", type=Path, metavar="FILE", help="serve https with this certificate (PEM)")
    up.add_argument("--tls-key", type=Path, metavar="FILE", help="the certificate's private key (PEM)")
    up.add_argument(
        "--allow-host", action="append", default=[], metavar="NAME", help="a name phones know it by"
    )


def _add_backup(commands: "Commands") -> None:
    backup = commands.add_parser(
        "backup",
        help="copy all records and photos",
        description="Copies all records and photos, also while the server runs, and reads the copy back.",
    )
    _add_data(backup)
    backup.add_argument(
        "--to",
        type=Path,
        metavar="FOLDER",
        help="where to put it; the folder has to be there (copies, in the data folder)",
    )
    backup.add_argument(
        "--keep",
        type=_number,
        metavar="N",
        help="leave only the newest N copies made by hand there (7; where --to names a folder, all)",
    )


def _add_restore(commands: "Commands") -> None:
    restore = commands.add_parser(
        "restore",
        help="put a copy back",
        description="Puts a copy back in place of what is there, which is set aside. The server must not run.",
    )
    restore.add_argument("copy", type=Path, metavar="COPY", help="the folder that backup made")
    _add_data(restore)
    restore.add_argument("--yes", action="store_true", help="ask nothing")


def _add_password(commands: "Commands") -> None:
    password = commands.add_parser(
        "password",
        help="let somebody choose a new password",
        description="Makes a code with which somebody chooses a new password. It works once, for 24 hours.",
    )
    password.add_argument("email", metavar="EMAIL", help="the e-mail address they sign in with")
    _add_data(password)


def _add_data(command: argparse.ArgumentParser) -> None:
    command.add_argument(
        "--data", type=Path, metavar="DIR", help="the folder that holds the farm's records and photos"
    )


def _number(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and int(typed) >= 1):
        raise argparse.ArgumentTypeError(f"{typed!r} is no number of copies; choose 1 or more, for example 7")
    return int(typed)


def _port(typed: str) -> int:
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= 65535):
        raise argparse.ArgumentTypeError(
            f"{typed!r} is no port; choose a number from 1 to 65535, for example 8000"
        )
    return int(typed)


def _up(options: argparse.Namespace) -> int:
    serving.check_tls(options.tls_cert, options.tls_key)
    serving.check_port(options.host, options.port)
    _set_environment(options)
    from harvestlog import first_run  # Django is not needed for a wrong option or for --help

    code = first_run.prepare()
    serving.serve(options, code)
    return 0


def _backup(options: argparse.Namespace) -> int:
    _name_settings(options)
    from harvestlog import first_run

    with first_run.settled():
        from harvestlog.copies import commands  # asks for Django's models

        return commands.backup(to=options.to, keep=options.keep)


def _restore(options: argparse.Namespace) -> int:
    _name_settings(options)
    from harvestlog import first_run

    with first_run.settled():
        from harvestlog.copies import commands

        return commands.restore(options.copy, yes=options.yes)


def _password(options: argparse.Namespace) -> int:
    _name_settings(options)
    from harvestlog import first_run

    with first_run.settled():
        from harvestlog.accounts.passwords import console_password_code

        _check_there_are_people()
        code = console_password_code(options.email)
    if code is None:
        raise Refusal(f"nobody here signs in with {options.email!r}. Check the address")
    sys.stdout.write(
        f"Open this after the address that harvestlog has on the phone: /#/password/{code}\n"
        "It works once, for 24 hours, and ends every sign-in of theirs.\n"
    )
    return 0


def _check_there_are_people() -> None:
    from django.db import connection

    file = Path(connection.settings_dict["NAME"])
    if connection.vendor == "sqlite" and not file.exists():
        raise Refusal(
            f"nobody signs in here yet: {file} does not exist. If the records are elsewhere, say where: --data FOLDER"
        )


COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "up": _up,
    "backup": _backup,
    "restore": _restore,
    "password": _password,
}


def _name_settings(options: argparse.Namespace) -> None:
    os.environ["DJANGO_SETTINGS_MODULE"] = "harvestlog.settings"
    if options.data:
        os.environ["HARVESTLOG_DATA"] = str(options.data.expanduser().absolute())


def _set_environment(options: argparse.Namespace) -> None:
    _name_settings(options)
    if options.tls_cert:
        os.environ["HARVESTLOG_HTTPS"] = "1"
    hosts = [os.environ.get("HARVESTLOG_HOSTS", ""), *options.allow_host]
    if options.host not in serving.EVERY_ADDRESS:
        hosts.append(options.host)
    os.environ["HARVESTLOG_HOSTS"] = ",".join(host for host in hosts if host)
