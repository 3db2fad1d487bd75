"""``manage.py verify``: check the whole book; exit 1 with findings when something blocks."""

from __future__ import annotations

from typing import Any

from django.core.management.base import BaseCommand

from compliance.models import Document, Link, Photo
from compliance.queries.buried import cleared_told
from compliance.queries.whole_book import whole_book_findings
from inventory.models import Movement


class Command(BaseCommand):
    help = (
        "Check the whole book: balances two ways, guards, hashes of papers and photos, the chain, the numbers,"
        " what was cleared."
    )

    def handle(self, *args: Any, **options: Any) -> None:
        findings = whole_book_findings()
        for finding in findings:
            self.stdout.write(f"{finding.code}: {finding.message}")
        for told in cleared_told():
            self.stdout.write(f"Cleared after its time: {told}.")
        looked = (
            f"Looked at {Movement.objects.count()} movements, {Document.objects.count()} papers,"
            f" {Photo.objects.count()} photos and {Link.objects.count()} links of the chain"
        )
        self.stdout.write(
            f"{looked}: {len(findings)} findings." if findings else f"{looked}. The book is whole."
        )
        if findings:
            raise SystemExit(1)
