"""``manage.py packs``: list the rule packs on file, or check a file that wants to become one."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from compliance.core.packs import BadPack, Problem, Status, loosened, read_pack
from compliance.queries.packs import packs_on_file, places_looked_at


class Command(BaseCommand):
    help = "List the rule packs on file, or check a file: says which line is wrong and why; exit 1 then."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("what", choices=["list", "check"])
        parser.add_argument("file", nargs="?", help="the pack to check")

    def handle(self, *args: Any, what: str, file: str | None, **options: Any) -> None:
        if what == "list":
            self._list()
        elif file is None:
            self.stderr.write("Name the file: packs check FILE")
            raise SystemExit(2)
        else:
            self._check(Path(file))

    def _list(self) -> None:
        for pack in packs_on_file():
            memory = sum(rule.status is Status.MEMORY for rule in pack.rules)
            until = f" to {pack.until}" if pack.until else " on"
            self.stdout.write(
                f"{pack.key}: {pack.title}, for jobs from {pack.since}{until}, {len(pack.rules)} rules,"
                f" {memory} from memory, looked up {pack.read_on}"
            )
        for place in places_looked_at().values():
            self.stdout.write(f"{place.code}: {place.name}, none found on {place.looked_on}")

    def _check(self, path: Path) -> None:
        try:
            text = path.read_text(encoding="utf-8")
        except (OSError, UnicodeDecodeError) as wrong:
            self.stderr.write(f"{path} cannot be read: {wrong}")
            raise SystemExit(2) from wrong
        problems: tuple[Problem, ...] = ()
        try:
            pack = read_pack(text)
            problems = tuple(loosened(pack, packs_on_file()))
        except BadPack as bad:
            problems = bad.problems
        for one in problems:
            self.stdout.write(f"{path}, {one}")
        if problems:
            raise SystemExit(1)
        self.stdout.write(f"{pack.key} is a pack of {len(pack.rules)} rules.")
