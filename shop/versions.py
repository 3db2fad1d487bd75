"""Names of static files that change with what is in them, so that no page meets a script of another day."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path

from django.conf import settings
from django.contrib.staticfiles import finders
from django.contrib.staticfiles.storage import StaticFilesStorage


class Versioned(StaticFilesStorage):
    """``url`` of a file that is there ends with ``?v=`` and the beginning of its SHA-256."""

    def url(self, name: str | None) -> str:
        version = (_read if settings.DEBUG else _version)(name or "")
        return f"{super().url(name)}?v={version}" if version else super().url(name)


def _read(name: str) -> str:
    path = finders.find(name)
    return hashlib.sha256(Path(str(path)).read_bytes()).hexdigest()[:12] if path else ""


_version = cache(_read)  # while a server runs its files stay as they are
