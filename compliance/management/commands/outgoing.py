"""``manage.py outgoing``: tell other programs what is due; run it each minute where ``serve`` does not run."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from compliance.management.sending import one_round


class Command(BaseCommand):
    help = "Send the letters to other programs that are due, and look whether full cans run low."

    def handle(self, *args: Any, **options: Any) -> None:
        came = one_round()
        said = f"{came['taken']} taken, {came['failed']} not taken" if came else "nothing to send"
        self.stdout.write(f"Letters to other programs: {said}.")
