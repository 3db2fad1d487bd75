"""Embedding a font: what depends only on the characters is cut, formatted and compressed once in a process."""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from functools import lru_cache
from threading import Lock
from typing import Any

from reportlab.pdfbase import pdfdoc
from reportlab.pdfbase.ttfonts import SUBSETN, makeToUnicodeCMap

NONSYMBOLIC, SYMBOLIC = 1 << 5, 1 << 2  # ISO 32000-1, table 123
cutting = Lock()  # ReportLab reads a font through one file position: two threads must not cut at once


@dataclass(frozen=True, slots=True)
class Cut:
    """One subset of one font, ready to be written."""

    name: str
    widths: bytes
    last: int
    program: bytes
    length: int
    to_unicode: bytes
    descriptor: dict[str, bytes]


class Embedding:
    """Stands in for a font among those that ReportLab writes at the end of a document."""

    def __init__(self, font: Any) -> None:
        self.font = font

    def addObjects(self, document: Any) -> None:  # noqa: N802 - ReportLab calls it by this name
        state = self.font.state[document]
        for number, characters in enumerate(state.subsets):
            resource = self.font.getSubsetInternalName(number, document)[1:]
            written = _font(document, resource, cut(self.font, number, tuple(characters)))
            document.idToObject["BasicFonts"].dict[resource] = document.Reference(written, resource)
        del self.font.state[document]


@lru_cache(maxsize=32)
def cut(font: Any, number: int, characters: tuple[int, ...]) -> Cut:
    """The font program, widths and character map of one subset, compressed."""
    face = font.face
    with cutting:
        program = face.makeSubset(list(characters))
    name = (SUBSETN(number) + b"+" + face.name + face.subfontNameX).decode("ascii")
    to_unicode = makeToUnicodeCMap(name, list(characters))
    widths = " ".join(f"{face.getCharWidth(code):.0f}" for code in characters)
    return Cut(
        name=name,
        widths=f"[ {widths} ]".encode("ascii"),
        last=len(characters) - 1,
        program=zlib.compress(program, 9),
        length=len(program),
        to_unicode=zlib.compress(to_unicode.encode("latin-1"), 9),
        descriptor=_described(face, name),
    )


def _font(document: Any, resource: str, subset: Cut) -> Any:
    entries = {
        "Type": "/Font",
        "Subtype": "/TrueType",
        "Name": f"/{resource}",
        "BaseFont": f"/{subset.name}",
        "FirstChar": 0,
        "LastChar": subset.last,
        "Widths": subset.widths,
        "ToUnicode": document.Reference(_packed(subset.to_unicode)),
        "FontDescriptor": document.Reference(_descriptor(document, subset)),
    }
    return pdfdoc.PDFDictionary(entries)


def _descriptor(document: Any, subset: Cut) -> Any:
    program = _packed(subset.program, Length1=subset.length)
    return pdfdoc.PDFDictionary(subset.descriptor | {"FontFile2": document.Reference(program)})


def _described(face: Any, name: str) -> dict[str, bytes]:
    """The entries of a font descriptor, but for the font program."""
    entries = {
        "Type": "/FontDescriptor",
        "FontName": f"/{name}",
        "Flags": face.flags & ~NONSYMBOLIC | SYMBOLIC,
        "FontBBox": f"[ {' '.join(f'{edge:.0f}' for edge in face.bbox)} ]",
        "Ascent": f"{face.ascent:.0f}",
        "Descent": f"{face.descent:.0f}",
        "CapHeight": f"{face.capHeight:.0f}",
        "ItalicAngle": f"{face.italicAngle:.0f}",
        "StemV": f"{face.stemV:.0f}",
        "MissingWidth": f"{face.defaultWidth:.0f}",
    }
    return {name: str(value).encode("ascii") for name, value in entries.items()}


def _packed(content: bytes, **entries: int) -> Any:
    return pdfdoc.PDFStream(pdfdoc.PDFDictionary({"Filter": "/FlateDecode", **entries}), content)
