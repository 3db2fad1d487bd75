"""``manage.py papers``: list every paper."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from compliance.models import Document
from compliance.queries import paper_state


class Command(BaseCommand):
    help = "List every paper with its version, day and state."

    def handle(self, *args: Any, **options: Any) -> None:
        rows = (
            Document.objects.defer("pdf", "facts").select_related("replaced_by", "withdrawal").order_by("pk")
        )
        for paper in rows:
            line = f"{paper.number:12} v{paper.version:<3} {paper.dated} {paper_state(paper):10}"
            self.stdout.write(f"{line} {paper.get_kind_display():20} {paper.fingerprint}")
        self.stdout.write(f"{rows.count()} papers.")
