"""``manage.py paper NUMBER --to FILE``: write the stored bytes of a paper."""

from __future__ import annotations

from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandError

from compliance.models import Document
from shop.core.canonical import sha256


class Command(BaseCommand):
    help = "Write the stored PDF of a paper to a file, as it was issued."

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("number", help="the paper's number, for example C26-0001")
        parser.add_argument("--paper-version", type=int, help="which version; the newest when left out")
        parser.add_argument("--to", required=True, type=Path, help="the file to write")

    def handle(self, *args: Any, **options: Any) -> None:
        papers = Document.objects.filter(number=options["number"]).order_by("-version")
        if options["paper_version"]:
            papers = papers.filter(version=options["paper_version"])
        found = papers.first()
        if found is None:
            raise CommandError(f"There is no paper {options['number']}. 'manage.py papers' lists them all.")
        pdf = bytes(found.pdf)
        if not pdf:
            raise CommandError(
                f"{found} was put away or cleared after its time. Its SHA-256 was {found.pdf_sha256}."
            )
        if sha256(pdf) != found.pdf_sha256:
            raise CommandError(
                f"{found}: the stored PDF is not the one that was issued. Run 'manage.py verify'."
            )
        options["to"].write_bytes(pdf)
        self.stdout.write(f"{found}: {len(pdf):,} bytes, SHA-256 {found.pdf_sha256}, to {options['to']}")
