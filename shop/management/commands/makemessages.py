"""Collect the sentences to translate, those that core makes with ``phrase`` among them."""

from __future__ import annotations

from django.core.management.commands import makemessages


class Command(makemessages.Command):
    """As Django's own; ``phrase("…")`` marks a sentence as gettext does."""

    xgettext_options = [*makemessages.Command.xgettext_options, "--keyword=phrase", "--keyword=_"]
    msgmerge_options = [*makemessages.Command.msgmerge_options, "--no-fuzzy-matching"]
