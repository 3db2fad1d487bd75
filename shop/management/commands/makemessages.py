"""Collect the sentences to translate, those that core makes with ``phrase`` among them, into the Spanish catalogue.

Run it after a sentence was added or changed, translate what is empty, then ``compilemessages``; both files are kept.
"""

from __future__ import annotations

import re
from pathlib import Path

from django.core.management.base import CommandParser
from django.core.management.commands import makemessages

STAMPS = re.compile(r'^"(?:POT-Creation|PO-Revision)-Date:[^\n]*\n', re.MULTILINE)
OURS = {
    "locale": ["es"],
    "no_wrap": True,
    "no_obsolete": True,
    "add_location": "file",
    "ignore_patterns": [".venv", "data/*", "tests", "run.py"],
}


class Command(makemessages.Command):
    """As Django's own, with our ways as its defaults; ``phrase("…")`` marks a sentence as gettext does."""

    xgettext_options = [
        *makemessages.Command.xgettext_options,
        "--keyword=phrase",
        "--keyword=_",
        "--keyword=_lazy",
    ]
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]

    def add_arguments(self, parser: CommandParser) -> None:
        super().add_arguments(parser)
        parser.set_defaults(**OURS)

    def write_po_file(self, potfile: str, locale: str) -> None:
        """Without the dates, so that the file changes only when a sentence does."""
        super().write_po_file(potfile, locale)
        catalogue = Path(potfile).parent / locale / "LC_MESSAGES" / f"{self.domain}.po"
        catalogue.write_text(STAMPS.sub("", catalogue.read_text(encoding="utf-8")), encoding="utf-8")
