import sqlite3
import subprocess
import sys
from types import ModuleType, SimpleNamespace
from typing import cast

import pytest

from harvestlog import sqlite


def library(version: str) -> ModuleType:
    numbers = tuple(map(int, version.split(".")))
    return cast(ModuleType, SimpleNamespace(sqlite_version=version, sqlite_version_info=numbers))


@pytest.fixture
def system(monkeypatch):
    """Python's own SQLite in the wanted version, and the modules restored afterwards."""

    def has(version: str, bundled: str | None) -> None:
        monkeypatch.setitem(sys.modules, "sqlite3", library(version))
        monkeypatch.setattr(sqlite, "sqlite3", library(version))
        monkeypatch.setattr(sqlite, "_bundled", lambda: library(bundled) if bundled else None)

    monkeypatch.setitem(sys.modules, "sqlite3.dbapi2", sqlite3.dbapi2)
    return has


def test_a_new_sqlite_is_left_in_place(system):
    system("3.51.3", None)
    sqlite.choose()
    assert sys.modules["sqlite3"].sqlite_version == "3.51.3"


def test_an_old_sqlite_gives_way_to_the_bundled_one(system):
    system("3.51.2", "3.53.0")
    sqlite.choose()
    assert sys.modules["sqlite3"].sqlite_version == "3.53.0"


def test_without_pysqlite3_an_old_sqlite_is_refused_with_what_to_do(system):
    system("3.40.1", None)
    with pytest.raises(
        sqlite.TooOld, match=r"3\.40\.1; .* 3\.51\.3 or later.*pip install --upgrade pysqlite3"
    ):
        sqlite.choose()


def test_two_old_ones_are_refused_and_both_named(system):
    system("3.40.1", "3.51.2")
    with pytest.raises(sqlite.TooOld, match=r"3\.40\.1 and pysqlite3 brings 3\.51\.2"):
        sqlite.choose()


def test_django_gets_the_chosen_library():
    asked = "from django.db.backends.sqlite3 import base; print(base.Database.sqlite_version)"
    script = f"from harvestlog import sqlite; sqlite.choose(); {asked}"
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, text=True, check=True)
    assert tuple(map(int, done.stdout.strip().split("."))) >= sqlite.OLDEST
