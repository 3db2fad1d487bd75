"""``manage.py remind``: send each shop's reminders by e-mail; run it once a day."""

from __future__ import annotations

from typing import Any
from zoneinfo import ZoneInfo

from django.core.management.base import BaseCommand

from compliance.services.reminding import remind
from shop.http import now
from shop.models import Establishment


class Command(BaseCommand):
    help = "E-mail what asks for the owner's eyes: at most one letter a week to each shop, no cause twice."

    def handle(self, *args: Any, **options: Any) -> None:
        for establishment in Establishment.objects.order_by("pk"):
            at = now()
            sent = remind(establishment, on=at.astimezone(ZoneInfo(establishment.time_zone)).date(), at=at)
            said = f"{len(sent)} reminders to {sent[0].to}" if sent else "nothing to send"
            self.stdout.write(f"{establishment}: {said}.")
