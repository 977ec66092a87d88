"""Before Django reads its settings: a data folder that only this run uses, and nothing of the caller's own farm."""

import os
import tempfile
from pathlib import Path

import pytest

_folder = tempfile.TemporaryDirectory(prefix="harvestlog-tests-")
DATA = Path(_folder.name)

for name in [name for name in os.environ if name.startswith("HARVESTLOG_")]:
    if name != "HARVESTLOG_DATABASE_URL":  # tests.setup.postgres gives it
        del os.environ[name]
os.environ["HARVESTLOG_DATA"] = str(DATA)
os.environ["HARVESTLOG_COPIES"] = "0"  # tests of copies say where theirs go
os.environ["DJANGO_SETTINGS_MODULE"] = "harvestlog.settings"

import django  # noqa: E402
from django.conf import settings  # noqa: E402
from django.db import connections  # noqa: E402

from harvestlog.first_run import keep_key  # noqa: E402

keep_key(DATA / "secret-key")
django.setup()
if DATA != settings.DATA:
    raise pytest.UsageError("unset DJANGO_SETTINGS_MODULE: it made pytest read the settings of a real farm")


@pytest.fixture(scope="session")
def django_db_modify_db_settings(django_db_modify_db_settings_parallel_suffix: None) -> None:
    """SQLite in a file, as in service: in memory there is no WAL and no second connection."""
    database = connections["default"].settings_dict
    if database["ENGINE"].endswith("sqlite3"):
        database["TEST"]["NAME"] = DATA / "tests.sqlite3"


pytest_plugins = ["tests.cast"]
