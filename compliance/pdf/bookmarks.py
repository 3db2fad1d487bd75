"""Ways about inside one file: links that lead to a page of it, and the bookmarks a reader shows beside it.

PDF 1.4 reference, 8.2.1 (destinations), 8.2.2 (document outline) and 8.4.5 (link annotations).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from typing import Any

from reportlab.pdfbase import pdfdoc

from compliance.core.paper import Tab

Box = tuple[float, float, float, float]


class Prepared:
    """Stands where ReportLab keeps its own outline, which it would fill from a canvas; ours is in the catalog."""

    ready = 1

    def prepare(self, _document: Any, _canvas: Any) -> None:
        """Nothing is left to be done."""


def leading_to(box: Box, key: str) -> Any:
    """A click on the box opens the page of a tab. 4 is the flag "print", which ISO 19005-1, 6.5.3 asks for."""
    return pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("Annot"),
            "Subtype": pdfdoc.PDFName("Link"),
            "Rect": pdfdoc.PDFArray([round(side, 2) for side in box]),
            "Border": pdfdoc.PDFArray([0, 0, 0]),
            "F": 4,
            "Dest": pdfdoc.PDFName(key),
        }
    )


def bookmark(document: Any, tabs: Sequence[tuple[Tab, Any]]) -> None:
    """Name the page of every tab, and make an outline of parts and their tabs."""
    places = {tab.key: _top_of(document, page) for tab, page in tabs}
    document.Catalog.Dests = pdfdoc.PDFDictionary(places)
    root = pdfdoc.PDFDictionary({"Type": pdfdoc.PDFName("Outlines")})
    parts: list[Any] = []
    for part, mine in groupby(tabs, key=lambda one: one[0].part):
        inner = list(mine)
        if not part:
            parts += [_entry(f"{tab.mark} {tab.title}".strip(), places[tab.key]) for tab, _ in inner]
            continue
        above = _entry(part, places[inner[0][0].key])
        under = [_entry(f"{tab.mark} {tab.title}".strip(), places[tab.key]) for tab, _ in inner]
        _hang(document, above, under)
        parts.append(above)
    _hang(document, root, parts)
    root["Count"] = len(parts) + sum(part["Count"] for part in parts if "Count" in part)
    document.Catalog.Outlines = root
    document.Catalog.showOutline()
    document.Outlines = Prepared()


def _top_of(document: Any, page: Any) -> Any:
    return pdfdoc.PDFArray([document.Reference(page), pdfdoc.PDFName("Fit")])


def _entry(title: str, place: Any) -> Any:
    return pdfdoc.PDFDictionary({"Title": pdfdoc.PDFString(title), "Dest": place})


def _hang(document: Any, above: Any, under: Sequence[Any]) -> None:
    """Chain entries to each other and to the one above them."""
    parent, chain = document.Reference(above), [document.Reference(one) for one in under]
    for place, one in enumerate(under):
        one["Parent"] = parent
        if place:
            one["Prev"] = chain[place - 1]
        if place + 1 < len(under):
            one["Next"] = chain[place + 1]
    above["First"], above["Last"], above["Count"] = chain[0], chain[-1], len(under)
