from pathlib import Path

import pytest
from django.conf import settings
from django.core.management import call_command
from django.db import connection

pytestmark = pytest.mark.django_db
on_sqlite = pytest.mark.skipif(connection.vendor != "sqlite", reason="a setting of SQLite")


def test_every_model_has_its_migration():
    call_command("makemigrations", check=True, dry_run=True, verbosity=0)


def pragma(name: str) -> object:
    with connection.cursor() as cursor:
        return cursor.execute(f"PRAGMA {name}").fetchone()[0]


@on_sqlite
def test_sqlite_writes_ahead_and_waits_for_the_disk():
    full = 2
    assert (pragma("journal_mode"), pragma("synchronous")) == ("wal", full)


@on_sqlite
def test_the_tests_use_a_database_file_of_their_own():
    file = Path(connection.settings_dict["TEST"]["NAME"])
    assert file.parent == settings.DATA
    assert file.parent.name.startswith("harvestlog-tests-")
