"""A new installation is migrated from the command line, and nothing is missing afterwards."""

from __future__ import annotations

import os
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from urllib.parse import quote

import psycopg
import pytest
from django.db import connection, models
from django.db.migrations import AlterField, CreateModel, RunSQL
from django.db.migrations.operations.base import Operation

from shop.first_tables import FirstTables

ROOT = Path(__file__).resolve().parents[2]


@pytest.fixture
def empty(db: None, tmp_path: Path) -> Iterator[dict[str, str]]:
    """The environment of an installation whose database has no table yet, on the engine of this run."""
    asked = os.environ | {"TAREBOOK_DATA": str(tmp_path)}
    if connection.vendor == "sqlite":
        yield asked | {"DATABASE_URL": ""}
        return
    said = connection.settings_dict
    name = f"tarebook_migrated_{os.getpid()}"
    signed = {
        "host": said["HOST"],
        "port": said["PORT"] or 5432,
        "user": said["USER"],
        "password": said["PASSWORD"],
    }
    with psycopg.connect(dbname="postgres", autocommit=True, **signed) as server:
        server.execute(f'CREATE DATABASE "{name}"')
        try:
            who = f"{quote(said['USER'])}:{quote(said['PASSWORD'])}@{said['HOST']}:{signed['port']}"
            yield asked | {"DATABASE_URL": f"postgresql://{who}/{name}"}
        finally:
            server.execute(f'DROP DATABASE "{name}"')


def test_an_empty_database_is_migrated_and_its_book_is_whole(empty: dict[str, str]) -> None:
    """``verify`` misses any guard that does not stand, and a second ``migrate`` finds nothing to do."""
    for command, says in (
        ("migrate", "OK"),
        ("verify", "The book is whole."),
        ("migrate", "No migrations to apply"),
    ):
        done = subprocess.run(
            [sys.executable, "manage.py", command],
            cwd=ROOT,
            env=empty,
            check=True,
            capture_output=True,
            text=True,
        )
        assert says in done.stdout


@pytest.mark.parametrize(
    "step", [RunSQL("SELECT 1"), AlterField("box", "label", models.TextField())], ids=["sql", "change"]
)
def test_a_step_that_does_more_than_make_a_table_is_refused(step: Operation) -> None:
    with pytest.raises(TypeError, match="Not a part of a new table"):
        FirstTables([CreateModel("Box", [("label", models.CharField(max_length=9))]), step])
