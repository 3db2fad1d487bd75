"""``manage.py backup FILE``: a whole copy of a SQLite book while the shop goes on working."""

from __future__ import annotations

import sqlite3
from argparse import ArgumentParser
from contextlib import closing
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError
from django.db import connection


class Command(BaseCommand):
    help = "Copy the SQLite book to a file and check the copy. For PostgreSQL use pg_dump -Fc."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("file", type=Path, help="where to put the copy; it must not exist yet")

    def handle(self, *args: Any, **options: Any) -> None:
        if connection.vendor != "sqlite":
            raise CommandError(
                "This book is on PostgreSQL: use pg_dump -Fc, and pg_restore to bring it back."
            )
        target: Path = options["file"]
        if target.exists():
            raise CommandError(f"{target} exists already. Name a new file.")
        connection.ensure_connection()
        with closing(sqlite3.connect(target)) as copy:
            connection.connection.backup(copy)
            sound = copy.execute("PRAGMA integrity_check").fetchone()[0]
            triggers = copy.execute("SELECT COUNT(*) FROM sqlite_master WHERE type = 'trigger'").fetchone()[0]
        if sound != "ok" or not triggers:
            raise CommandError(f"The copy is not sound ({sound}, {triggers} guards). Keep the last good one.")
        self.stdout.write(f"{target}: {target.stat().st_size:,} bytes, sound, {triggers} guards.")
