"""``manage.py packs``: list the rule packs on file, check a file that wants to become one, or mark their sentences for
translation."""

from __future__ import annotations

import json
import textwrap
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser

from compliance.core.packs import BadPack, Problem, Status, loosened, read_pack
from compliance.queries.packs import packs_on_file, places_looked_at

WORDS = Path(__file__).resolve().parents[2] / "core" / "packs" / "marked.py"
WIDTH = 110
HEAD = '''"""Every sentence and word of the packs, marked once for translation. Written by ``manage.py packs words``."""

from __future__ import annotations

from shop.core.phrase import phrase

MARKED = (
'''


def marked_words() -> str:
    """A module that marks what the packs on file say; papers and pages look the translation up by the sentence."""
    said: dict[str, None] = {}
    for pack in packs_on_file():
        said[pack.title] = None
        for rule in pack.rules:
            said |= dict.fromkeys((rule.sentence, *rule.texts("items")))
            said |= dict.fromkeys(one for one in (rule.text("say"), rule.text("value")) if one)
    return HEAD + "".join(_marked(one) for one in said) + ")\n"


def _marked(sentence: str) -> str:
    """One call of ``phrase``, laid out as the formatter would."""
    whole = json.dumps(sentence, ensure_ascii=False)
    if len(whole) + len("    phrase(),") <= WIDTH:
        return f"    phrase({whole}),\n"
    if len(whole) + 8 <= WIDTH:
        return f"    phrase(\n        {whole}\n    ),\n"
    words = textwrap.wrap(sentence, WIDTH - 14)
    parts = [f"{one} " for one in words[:-1]] + words[-1:]
    rows = [f"        {json.dumps(one, ensure_ascii=False)}\n" for one in parts]
    return "    phrase(\n" + "".join(rows) + "    ),\n"


class Command(BaseCommand):
    help = "List the rule packs on file, check a file (says which line is wrong and why), or mark their sentences."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("what", choices=["list", "check", "words"])
        parser.add_argument("file", nargs="?", help="the pack to check")

    def handle(self, *args: Any, what: str, file: str | None, **options: Any) -> None:
        if what == "list":
            self._list()
        elif what == "words":
            WORDS.write_text(marked_words(), encoding="utf-8")
            self.stdout.write(f"{WORDS.name} is written; collect the sentences with makemessages.")
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
