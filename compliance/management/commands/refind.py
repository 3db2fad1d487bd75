"""``manage.py refind``: make anew what the search box looks in."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from compliance.services.finding import rebuild_search
from shop.models import Establishment


class Command(BaseCommand):
    help = "Make the index of the search box anew from what was written, for example after a restore or an upgrade."

    def handle(self, *args: Any, **options: Any) -> None:
        for establishment in Establishment.objects.order_by("pk"):
            self.stdout.write(f"{establishment}: {rebuild_search(establishment):,} things can be found.")
