"""``manage.py bundle FOLDER --by OWNER``: the monthly copy as a folder of files, for a drive in the office."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import date, timedelta
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand, CommandError

from compliance.management.one_shop import add_owner, empty_folder, owner_named
from compliance.services import make_bundle
from compliance.sheets.writing import into_folder
from shop.core.findings import Refused
from shop.core.period import Period
from shop.http import now


class Command(BaseCommand):
    help = "Write the papers and lists of a month into FOLDER/YEAR-MONTH. No prices are in it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="where the month's folder goes, for example a drive")
        parser.add_argument("--month", default="", help="as 2026-06; the month before this one when left out")
        add_owner(parser)

    def handle(self, *args: Any, **options: Any) -> None:
        by, shop = owner_named(options["by"])
        at = now()
        today = at.astimezone(ZoneInfo(shop.time_zone)).date()
        month = _month(options["month"], today)
        folder = empty_folder(options["folder"] / f"{month.first:%Y-%m}")
        try:
            made = make_bundle(shop, into_folder(folder), month=month, today=today, at=at, by=by)
        except Refused as refused:
            folder.rmdir()
            raise CommandError(str(refused)) from None
        self.stdout.write(f"{shop}: {made.files:,} files in {folder}, manifest {made.manifest_sha256}.")


def _month(text: str, today: date) -> Period:
    if not text:
        return Period.month(today.replace(day=1) - timedelta(days=1))
    try:
        return Period.month(date.fromisoformat(f"{text}-01"))
    except ValueError:
        raise CommandError(f"{text} is no month. Type it as 2026-06.") from None
