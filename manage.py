#!/usr/bin/env python3
"""Django's command line for a checkout. It works on the data that `make up` serves."""

import os
import sys
from pathlib import Path

if __name__ == "__main__":
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "harvestlog.settings")
    os.environ.setdefault("HARVESTLOG_DATA", str(Path(__file__).resolve().parent / "data"))
    from django.core.management import execute_from_command_line

    execute_from_command_line(sys.argv)
