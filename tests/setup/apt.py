"""Programs that the tests need and pip cannot bring."""

import os
import shutil
import subprocess


class Missing(RuntimeError):
    """A program is absent, and this account may not install it."""


def install(package: str, wanted_for: str) -> None:
    """Installs a Debian package when root. Raises Missing with the command to type otherwise."""
    if os.geteuid() != 0 or not shutil.which("apt-get"):
        raise Missing(f"{wanted_for}: sudo apt-get install {package}")
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for order in (["update"], ["install", "--no-install-recommends", package]):
        subprocess.run(["apt-get", "-y", "-qq", *order], check=True, env=quiet, stdout=subprocess.DEVNULL)
