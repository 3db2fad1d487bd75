"""The type of every paper: two faces with tabular figures, one face for what they lack, each read once.

Subset 0 of the two main faces holds the same characters in every document. So a string becomes PDF text by one
``str.translate``, and the embedded font program is cut and compressed once in a process, not once in a document.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby
from pathlib import Path
from typing import Any

from reportlab.pdfbase.ttfonts import TTFont

from compliance.core.paper import Frame
from compliance.pdf.embedding import Embedding

FONTS = Path(__file__).parent.parent / "fonts"
COMMON = "–—−±×°·•’‘“”…≤≥µ½²áéíóúüñÁÉÍÓÚÜÑ¿¡"
LACKING = "\ufffd"  # drawn for a character that no face has
GLUE = "\u00a0"  # a space at which no line breaks
SPACES = frozenset([GLUE, *map(chr, range(32))])  # a stray tab in a typed text is drawn as a space


class Face:
    """One font file. ``rest`` is asked for the characters that this one lacks."""

    def __init__(self, name: str, file: str, rest: Face | None = None) -> None:
        self.name = name
        self.rest = rest
        self.font: Any = TTFont(name, str(FONTS / file), asciiReadable=rest is not None)
        self.widths = Widths(self)
        self.codes = self._codes()

    def width(self, text: str, size: float) -> float:
        """How wide a line of text is, in points."""
        return size * sum(map(self.widths.__getitem__, text))

    def has(self, char: str) -> bool:
        return char in SPACES or ord(char) in self.font.face.charToGlyph

    def begin(self, document: Any) -> str:
        """Put the common characters into subset 0 of this document; returns the name of the font resource."""
        self.font.splitString(COMMON if self.rest else "", document)
        name: str = self.font.getSubsetInternalName(0, document)
        document.delayedFonts[-1] = Embedding(self.font)
        return name

    def _codes(self) -> dict[int, str]:
        if self.rest is None:
            return {}
        probe = Probe()
        self.font.splitString(COMMON, probe)
        codes = {
            char: code for char, code in self.font.state.pop(probe).assignments.items() if 0 < code < 256
        }
        return {char: _escaped(code) for char, code in codes.items()} | {ord(space): " " for space in SPACES}


class Probe:
    """Stands for a document while the codes of the common characters are looked up."""


class Widths(dict[str, float]):
    """The width of a character in ems, looked up once."""

    def __init__(self, face: Face) -> None:
        super().__init__()
        self.face = face

    def __missing__(self, char: str) -> float:
        face = self.face
        if face.has(char):
            width: float = face.font.face.charWidths[32 if char in SPACES else ord(char)] / 1000
        else:
            width = face.rest.widths[char] if face.rest else self[LACKING]
        return self.setdefault(char, width)


class Typecase:
    """The faces of one document, each begun when it is first used, and the words of its frame."""

    def __init__(self, document: Any, frame: Frame) -> None:
        self.document = document
        self.frame = frame
        self._names: dict[str, str] = {}

    def show(self, face: Face, size: float, text: str) -> str:
        """The PDF operators that show one line of text where the text matrix stands."""
        codes = text.translate(face.codes)
        if codes.isascii():
            return f"{self._name(face)} {size:g} Tf ({codes}) Tj"
        return "\n".join(self._runs(face, size, text))

    def _name(self, face: Face) -> str:
        name = self._names.get(face.name)
        if name is None:
            name = self._names[face.name] = face.begin(self.document)
        return name

    def _runs(self, face: Face, size: float, text: str) -> Iterator[str]:
        for of, chars in groupby(
            text, lambda char: face if face.has(char) or face.rest is None else face.rest
        ):
            self._name(of)
            run = "".join(" " if char in SPACES else char if of.has(char) else LACKING for char in chars)
            for subset, codes in of.font.splitString(run, self.document):
                name = of.font.getSubsetInternalName(subset, self.document)
                yield f"{name} {size:g} Tf ({''.join(map(_escaped, codes))}) Tj"


def wrapped(face: Face, size: float, text: str, width: float) -> list[str]:
    """Break text into lines that fit; at line ends first, then at spaces, then inside a word that is too long."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        lines += _filled(face, size, paragraph, width)
    return lines


def _filled(face: Face, size: float, text: str, width: float) -> list[str]:
    room = width / size + 1e-6
    ems = face.widths.__getitem__
    if sum(map(ems, text)) <= room:
        return [text]
    space, lines, line, used = ems(" "), [], "", 0.0
    for word, wide in _words(face, text, room):
        if line and used + space + wide > room:
            lines.append(line)
            line, used = word, wide
        else:
            line, used = (f"{line} {word}", used + space + wide) if line else (word, wide)
    return [*lines, line]


def _words(face: Face, text: str, room: float) -> Iterator[tuple[str, float]]:
    """The words with their widths; one that is wider than the line comes in pieces."""
    ems = face.widths.__getitem__
    for word in text.split(" "):
        wide = sum(map(ems, word))
        if wide <= room:
            yield word, wide
        else:
            yield from ((piece, sum(map(ems, piece))) for piece in _cut(face, word, room))


def _cut(face: Face, word: str, room: float) -> Iterator[str]:
    piece, used = "", 0.0
    for char in word:
        wide = face.widths[char]
        if piece and used + wide > room:
            yield piece
            piece, used = "", 0.0
        piece, used = piece + char, used + wide
    yield piece


def _escaped(code: int) -> str:
    char = chr(code)
    if 32 <= code < 127:
        return f"\\{char}" if char in "()\\" else char
    return f"\\{code:03o}"


REST = Face("Rest", "DejaVuSans-Rest.ttf")
REGULAR = Face("Regular", "AtkinsonHyperlegibleNext-Regular.ttf", REST)
BOLD = Face("Bold", "AtkinsonHyperlegibleNext-Bold.ttf", REST)
