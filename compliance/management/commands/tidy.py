"""``manage.py tidy``: rewrite the database, so that nothing that was cleared is left in its free space."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand
from django.db import connection


class Command(BaseCommand):
    help = "Rewrite the database after a clearing, so that nothing is left in free space. Nobody works meanwhile."

    def handle(self, *args: Any, **options: Any) -> None:
        with connection.cursor() as cursor:
            if connection.vendor == "sqlite":
                cursor.execute("VACUUM")
                cursor.execute("PRAGMA wal_checkpoint(TRUNCATE)")
            else:
                cursor.execute("VACUUM (FULL)")
        self.stdout.write("The database is rewritten. Backups made before still hold what was cleared since.")
