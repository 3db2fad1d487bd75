"""``manage.py demo``: the practice shop, made when it is not there yet, and served."""

from __future__ import annotations

from argparse import ArgumentParser
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

from django.conf import settings
from django.core.management import call_command
from django.core.management.base import BaseCommand, CommandError
from django.core.wsgi import get_wsgi_application
from django.utils import timezone

from compliance.management.practice import seed
from compliance.management.practice_work import CLOCK_STARTS, PASSWORD, PIN
from compliance.management.sending import rounds_beside
from shop.models import Establishment, Person


class Command(BaseCommand):
    help = "Make the practice shop (migrate, seed when empty), print its address and sign-ons, serve it."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--port", type=int, default=8000)
        parser.add_argument("--no-serve", action="store_true", help="make the shop, then stop")

    def handle(self, *args: Any, **options: Any) -> None:
        if not settings.PRACTICE:
            raise CommandError(
                "The practice shop needs TAREBOOK_PRACTICE=yes and a data folder of its own: use run.py demo."
            )
        settings.SITE_URL = f"http://127.0.0.1:{options['port']}"  # where the QR of a practice paper leads
        call_command("migrate", verbosity=0)
        if not Establishment.objects.exists():
            self.stdout.write("Making a quarter of practice work ...")
            seed()
            _clock_file().write_text(timezone.now().isoformat())
        settings.PRACTICE_OFFSET = _practice_offset()
        self._tell(options["port"])
        if not options["no_serve"]:
            _serve(options["port"])

    def _tell(self, port: int) -> None:
        self.stdout.write(f"\nTarebook, practice shop: http://127.0.0.1:{port}/\n")
        for person in Person.objects.order_by("role", "username"):
            self.stdout.write(
                f"  {person.get_role_display():14} {person.username:8} {PASSWORD}   ({person.name})"
            )
        self.stdout.write(
            f"\nAt a shared station everybody's PIN is {PIN}. Marta makes one under This device."
        )
        self.stdout.write("\nEverything in it is invented. Stop it with Ctrl+C; it carries on where it was.")
        self.stdout.flush()


def _clock_file() -> Path:
    return Path(settings.DATA_DIR) / "practice-clock.txt"


def _practice_offset() -> timedelta:
    """The practice clock starts at the end of the seeded quarter and runs on from there."""
    made = datetime.fromisoformat(_clock_file().read_text().strip())
    return CLOCK_STARTS - made


def _serve(port: int) -> None:
    from waitress import serve

    with rounds_beside():
        serve(get_wsgi_application(), host="127.0.0.1", port=port, threads=4, ident=None)
