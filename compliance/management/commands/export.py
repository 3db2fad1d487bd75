"""``manage.py export FOLDER``: the whole shop in open formats, with a hash of every file."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from compliance.sheets.whole import MANIFEST, whole_shop, write_folder
from shop.http import now
from shop.models import Establishment


class Command(BaseCommand):
    help = "Write lists and tables (CSV), papers (PDF) and photos (JPEG) of a shop into a new folder."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("folder", type=Path, help="where to; it must not exist yet, or be empty")
        parser.add_argument("--shop", default="", help="the shop's name, where the database has several")

    def handle(self, *args: Any, **options: Any) -> None:
        folder: Path = options["folder"]
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise CommandError(f"{folder} is there already and not empty. Name a new folder.")
        shop = self._shop(options["shop"])
        folder.mkdir(parents=True, exist_ok=True)
        number = write_folder(whole_shop(shop, now()), folder)
        self.stdout.write(f"{shop}: {number:,} files in {folder}. Check them with: sha256sum -c {MANIFEST}")

    def _shop(self, name: str) -> Establishment:
        shops = list(Establishment.objects.filter(name=name) if name else Establishment.objects.all())
        if len(shops) != 1:
            names = ", ".join(Establishment.objects.order_by("pk").values_list("name", flat=True))
            raise CommandError(f"Name one shop with --shop: {names or 'there is none yet'}.")
        return shops[0]
