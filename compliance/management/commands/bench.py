"""``manage.py bench``: measure the product against raw work of the same kind, in one run, and print one table."""

from __future__ import annotations

import tempfile
from argparse import ArgumentParser
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand

from compliance.management.alternating import Measure
from compliance.management.measures import all_measures


class Command(BaseCommand):
    help = (
        "Measure close-out, papers, period sums and Find against raw SQL and a raw canvas; quote the ratios."
    )

    def add_arguments(self, parser: ArgumentParser) -> None:
        parser.add_argument("--rounds", type=int, default=7, help="rounds of each; the median is shown")
        parser.add_argument("--movements", type=int, nargs="+", default=[10_000, 100_000])
        parser.add_argument("--jobs", type=int, default=100_000, help="jobs of the shop that Find looks in")

    def handle(self, *args: Any, **options: Any) -> None:
        with tempfile.TemporaryDirectory(prefix="tarebook-bench-") as folder:
            measures = all_measures(Path(folder), options["rounds"], options["movements"], options["jobs"])
            self._table(measures)

    def _table(self, measures: list[Measure]) -> None:
        self.stdout.write(f"{'measure':58} {'ours ms':>9} {'raw ms':>9} {'ratio':>7} {'aim':>7}")
        for one in measures:
            ratio = one.ours_ms / one.raw_ms
            met = "" if one.aim is None else f"{one.aim:>7.2f}"
            self.stdout.write(f"{one.name:58} {one.ours_ms:9.2f} {one.raw_ms:9.2f} {ratio:7.2f} {met:>7}")
        self.stdout.write("Medians of alternating rounds in one run; quote the ratios, not the milliseconds.")
