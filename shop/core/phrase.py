"""Text that remembers how it was made, so that a page can say it in another language.

A ``Phrase`` is its English: that is what records, papers and hashes keep. Beside it stand the pattern and the values
it was made from; ``in_language`` puts the same values into the translated pattern, months of days in their language.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from datetime import date
from enum import StrEnum

Translate = Callable[[str], str]


class Phrase(str):
    """English text that knows how it was put together from ``pattern`` or by ``build``, and from which ``parts``."""

    pattern: str
    parts: dict[str, object]
    build: Callable[..., str] | None


def phrase(pattern: str, /, **parts: object) -> Phrase:
    """The sentence in English. This call marks the pattern for translation, so it is written out in full."""
    return _phrase(pattern.format(**parts) if parts else pattern, pattern, parts, None)


def filled(pattern: Phrase, /, **parts: object) -> Phrase:
    """A pattern that was marked before, with its values."""
    return _phrase(pattern.format(**parts) if parts else str(pattern), pattern.pattern, parts, None)


def made(build: Callable[..., str], *parts: str) -> str:
    """What ``build`` makes of the parts; a ``Phrase`` when one of them is."""
    text = build(*parts)
    if not any(isinstance(part, Phrase) for part in parts):
        return text
    return _phrase(text, "", {str(place): part for place, part in enumerate(parts)}, build)


def word(text: str) -> Phrase:
    """A word of our own vocabulary that a record keeps as text ("eyes", "held"); its translation is looked up."""
    return _phrase(text, text, {}, None)


def joined(by: str, parts: Sequence[str]) -> str:
    """``by.join(parts)``, without forgetting how each part was made."""
    return made(lambda *said: by.join(said), *parts)


def in_language(text: str, translate: Translate) -> str:
    """The text in another language as far as ``translate`` knows it; names, numbers and typed text stay as they are."""
    if isinstance(text, StrEnum):
        return translate(text.value)
    if not isinstance(text, Phrase):
        return text
    parts = {name: _told(part, translate) for name, part in text.parts.items()}
    if text.build is not None:
        return text.build(*parts.values())
    pattern = translate(text.pattern)
    return pattern.format(**parts) if parts else pattern


class _Day:
    """A day or an instant whose month (``{on:%b}``) is said in another language."""

    def __init__(self, day: date, translate: Translate) -> None:
        self.day, self.translate = day, translate

    def __format__(self, spec: str) -> str:
        month = self.translate(f"{self.day:%b}")
        return format(self.day, spec.replace("%b", month.replace("%", "%%")))


def _told(part: object, translate: Translate) -> object:
    if isinstance(part, str):
        return in_language(part, translate)
    return _Day(part, translate) if isinstance(part, date) else part


def _phrase(text: str, pattern: str, parts: dict[str, object], build: Callable[..., str] | None) -> Phrase:
    said = Phrase(text)
    said.pattern, said.parts, said.build = pattern, parts, build
    return said
