"""``manage.py archive FOLDER --by OWNER``: the archive of old records as one ZIP. It takes nothing away."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError

from compliance.management.one_shop import add_owner, owner_named
from compliance.services import make_archive
from compliance.sheets.writing import into_zip
from shop.core.findings import Refused
from shop.http import now


class Command(BaseCommand):
    help = "Write an archive of all records that are past their time and that nothing keeps, as a ZIP in a folder."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="where the ZIP goes; it is made when it is not there")
        add_owner(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        by, shop = owner_named(options["by"])
        at = now()
        today = at.astimezone(ZoneInfo(shop.time_zone)).date()
        folder: Path = options["folder"]
        folder.mkdir(parents=True, exist_ok=True)
        target = folder / f"archive-{today}-{at:%H%M%S}.zip"
        with target.open("xb+") as file:
            try:
                made = make_archive(shop, into_zip(file), today=today, at=at, by=by)
            except Refused as refused:
                target.unlink()
                raise CommandError(str(refused)) from None
        self.stdout.write(f"{shop}: {made.archived.count():,} records in {target}, SHA-256 {made.sha256}.")
