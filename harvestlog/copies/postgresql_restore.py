"""Puts a copy of a PostgreSQL database in place, in one transaction: all of it is there afterwards, or nothing changed."""

import tempfile
from pathlib import Path
from uuid import uuid4

from django.db import connection

from harvestlog.copies import newcomers, ways_in
from harvestlog.copies.manifest import DATABASES, Manifest
from harvestlog.copies.postgresql_copy import asking, run, where
from harvestlog.copies.sqlite_copy import END_SIGN_INS
from harvestlog.refusal import Refusal

# In the order in which PostgreSQL's list names them: the schema is made by us, its remark and rights stay as they are.
NOT_OURS = (" SCHEMA ", " COMMENT ", " ACL ")


def put_in_place(copy: Path, manifest: Manifest, word: str) -> str | None:
    """Returns where the former records are now. Raises Refusal when another program is connected."""
    connection.close()
    schema, there = _look_round()
    aside = f"before_{word.lower()}"
    with tempfile.TemporaryDirectory(prefix="harvestlog-restore-") as name:
        folder = Path(name)
        script = folder / "restore.sql"
        _write_script(copy / DATABASES["postgresql"], script, schema, aside, manifest, joined=there)
        run(
            "psql", "--no-psqlrc", "--quiet", "--single-transaction", "--set=ON_ERROR_STOP=1",
            f"--file={script}", f"--dbname={where()}",
        )  # fmt: skip
    return f"schema {aside} of the database" if there else None


def _look_round() -> tuple[str, bool]:
    """The schema's name, and whether there are farms in it."""
    with asking() as ask:
        schema, database = ask("SELECT current_schema(), current_database()")[0]
        others = ask(
            "SELECT count(*) FROM pg_stat_activity WHERE datname = current_database() "
            "AND pid <> pg_backend_pid() AND backend_type = 'client backend'"
        )[0][0]
        if others:
            raise Refusal(
                f"another program is connected to the database {database}. Stop the server, or whatever it is, first"
            )
        there = ask("SELECT to_regclass('accounts_farm') IS NOT NULL")[0][0]
        return schema, bool(there)


def _write_script(
    dump: Path, script: Path, schema: str, aside: str, manifest: Manifest, *, joined: bool
) -> None:
    listed = script.with_suffix(".list")
    run("pg_restore", "--list", f"--file={listed}", str(dump))
    wanted = [line for line in listed.read_text().splitlines() if not any(word in line for word in NOT_OURS)]
    listed.write_text("\n".join(wanted) + "\n")
    loaded = script.with_suffix(".dump.sql")
    run("pg_restore", "--no-owner", "--no-privileges", f"--use-list={listed}", f"--file={loaded}", str(dump))
    with script.open("w") as out:
        out.write(f'ALTER SCHEMA "{schema}" RENAME TO "{aside}";\nCREATE SCHEMA "{schema}";\n')
        out.write(f"\\include {loaded}\n")
        out.write(f'SET search_path TO "{schema}";\n')
        taken_over = newcomers.orders(aside) if joined else []
        out.writelines(f"{order};\n" for order in [*taken_over, *_begin_anew(manifest)])


def _begin_anew(manifest: Manifest) -> list[str]:
    """As sqlite_restore does it, in the transaction that puts the copy in place."""
    made = manifest.made.isoformat()
    epochs = [
        f"UPDATE accounts_farm SET epoch = '{uuid4()}' WHERE id = '{farm}'"  # noqa: S608 - both are UUIDs
        for farm in manifest.facts.farms
    ]
    return [
        *END_SIGN_INS,
        *ways_in.orders(manifest.facts.rows),
        *epochs,
        "INSERT INTO accounts_deed (farm_id, verb, about, detail, at) "  # noqa: S608 - a time of our own
        f"SELECT id, 'restored', epoch::text, json_build_object('made', '{made}', 'head', seq::text)::jsonb, now() "
        "FROM accounts_farm",
    ]
