"""The type of every paper: two faces with tabular figures, one face for what they lack, each read once.

Subset 0 of the two main faces holds the same characters in every document. So a string becomes PDF text by one
``str.translate``, and the embedded font program is cut and compressed once in a process, not once in a document.
"""

from __future__ import annotations

import zlib
from collections.abc import Callable, Iterator
from functools import lru_cache
from itertools import groupby
from pathlib import Path
from threading import Lock
from typing import Any

from reportlab.pdfbase.ttfonts import TTFont

FONTS = Path(__file__).parent.parent / "fonts"
COMMON = "–—−±×°·•’‘“”…≤≥µ½²áéíóúüñÁÉÍÓÚÜÑ¿¡"
LACKING = "\ufffd"  # drawn for a character that no face has
GLUE = "\u00a0"  # a space at which no line breaks


class Face:
    """One font file. ``rest`` is asked for the characters that this one lacks."""

    def __init__(self, name: str, file: str, rest: Face | None = None) -> None:
        self.name = name
        self.rest = rest
        self.font: Any = TTFont(name, str(FONTS / file), asciiReadable=rest is not None)
        self.font.face.makeSubset = _remembered(self.font.face.makeSubset)
        self.widths = Widths(self)
        self.codes = self._codes()
        self.common = frozenset(map(chr, self.codes))

    def width(self, text: str, size: float) -> float:
        """How wide a line of text is, in points."""
        return size * sum(map(self.widths.__getitem__, text))

    def has(self, char: str) -> bool:
        return char == GLUE or ord(char) in self.font.face.charToGlyph

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
        return {char: _escaped(code) for char, code in codes.items()} | {ord(GLUE): " "}


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
            width: float = face.font.face.charWidths[32 if char == GLUE else ord(char)] / 1000
        else:
            width = face.rest.widths[char] if face.rest else self[LACKING]
        return self.setdefault(char, width)


class Embedding:
    """A font as ReportLab writes it, with font program and character map compressed once, not per document."""

    def __init__(self, font: Any) -> None:
        self.font = font

    def addObjects(self, document: Any) -> None:  # noqa: N802 - ReportLab calls it by this name
        before = set(document.idToObject)
        self.font.addObjects(document)
        for name in sorted(set(document.idToObject) - before):
            if name.startswith(("fontFile:", "toUnicodeCMap:")):
                _pack(document.idToObject[name])


class Typecase:
    """The faces of one document, each begun when it is first used."""

    def __init__(self, document: Any) -> None:
        self.document = document
        self._names: dict[str, str] = {}

    def show(self, face: Face, size: float, text: str) -> str:
        """The PDF operators that show one line of text where the text matrix stands."""
        if face.common.issuperset(text):
            return f"{self._name(face)} {size:g} Tf ({text.translate(face.codes)}) Tj"
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
            run = "".join(char if of.has(char) else LACKING for char in chars)
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
    for word in (part for whole in text.split(" ") for part in _cut(face, whole, room)):
        wide = sum(map(ems, word))
        if line and used + space + wide > room:
            lines.append(line)
            line, used = word, wide
        else:
            line, used = (f"{line} {word}", used + space + wide) if line else (word, wide)
    return [*lines, line]


def _cut(face: Face, word: str, room: float) -> Iterator[str]:
    """A word that fits as it is, a longer one in pieces."""
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


def _remembered(make: Callable[[list[int]], bytes]) -> Callable[[list[int]], bytes]:
    """ReportLab reads the font through one file position, so two threads must not cut at the same time."""
    lock = Lock()

    @lru_cache(maxsize=16)
    def cut(characters: tuple[int, ...]) -> bytes:
        with lock:
            return make(list(characters))

    return lambda characters: cut(tuple(characters))


def _pack(stream: Any) -> None:
    content = stream.content
    stream.content = _deflated(content if isinstance(content, bytes) else content.encode("latin-1"))
    stream.dictionary["Filter"] = "/FlateDecode"


@lru_cache(maxsize=32)
def _deflated(content: bytes) -> bytes:
    return zlib.compress(content, 9)


REST = Face("Rest", "DejaVuSans-Rest.ttf")
REGULAR = Face("Regular", "AtkinsonHyperlegibleNext-Regular.ttf", REST)
BOLD = Face("Bold", "AtkinsonHyperlegibleNext-Bold.ttf", REST)
