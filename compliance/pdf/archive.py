"""The file around the pages: PDF 1.4 that Apache PDFBox calls valid PDF/A-1b, the same bytes for the same paper.

ISO 19005-1 asks for embedded fonts, an output intent with a colour profile, and XMP metadata that agrees with the
document information. Nothing here asks the clock, the locale or a random number.
"""

from __future__ import annotations

import hashlib
import zlib
from collections.abc import Sequence
from datetime import datetime
from functools import cache
from typing import Any
from xml.sax.saxutils import escape

from reportlab.pdfbase import pdfdoc

from compliance.core.paper import Paper, Tab
from compliance.pdf.bookmarks import Box, bookmark, leading_to
from compliance.pdf.typeface import FONTS

WIDTH, HEIGHT = 612.0, 792.0  # US Letter, in points
PROGRAM = "Tarebook"
UNDATED = datetime.fromisoformat("2000-01-01T00:00:00+00:00")


def end_streams_on_a_new_line() -> None:
    """ReportLab 5.1 leaves out the line end before ``endstream``, which ISO 19005-1, 6.1.7 asks for."""
    written = pdfdoc.PDFStream.format
    if getattr(written, "ends_on_a_new_line", False):
        return

    def formatted(stream: Any, document: Any) -> bytes:
        text: bytes = written(stream, document)
        return text.removesuffix(b"endstream\n") + b"\nendstream\n"

    formatted.ends_on_a_new_line = True  # type: ignore[attr-defined]
    pdfdoc.PDFStream.format = formatted


end_streams_on_a_new_line()


class Archive:
    """A document under way. Add the pages in order, then take the ``bytes``."""

    def __init__(self, paper: Paper) -> None:
        self.document: Any = pdfdoc.PDFDocument(
            compression=1, invariant=1, pdfVersion=(1, 4), lang=paper.language, filename=None
        )
        seal = f"{paper.title}\n{paper.number}\n{paper.version}\n{paper.fingerprint}"
        self.document.signature = hashlib.md5(seal.encode(), usedforsecurity=False)
        self.document._timeStamp = Stamp(paper.made_at)
        self._describe(paper)
        self.tabs: list[tuple[Tab, Any]] = []
        self.page: Any = None

    def add_page(
        self,
        operators: str,
        links: list[tuple[tuple[float, float, float, float], str]],
        size: tuple[float, float] = (WIDTH, HEIGHT),
        inside: Sequence[tuple[Box, str]] = (),
    ) -> None:
        """One page, Letter unless it says otherwise: its content operators, and where a click leads to: an address, or
        ``inside`` this paper the key of a tab."""
        page: Any = pdfdoc.PDFPage()
        page.pagewidth, page.pageheight = size
        page.Contents = pdfdoc.PDFStream(
            pdfdoc.PDFDictionary({"Filter": pdfdoc.PDFName("FlateDecode")}),
            zlib.compress(operators.encode("ascii")),
        )
        page.Resources = pdfdoc.PDFResourceDictionary()
        page.Resources.basicFonts()
        page.Resources.basicProcs()
        pictures = self.document.__dict__.get("pictures", {})
        page.Resources.XObject = {name: one for name, one in pictures.items() if f"/{name} Do" in operators}
        clicks = [*(_link(*link) for link in links), *(leading_to(*link) for link in inside)]
        page.Annots = pdfdoc.PDFArray(clicks) if clicks else None
        self.document.addPage(page)
        self.page = page

    def mark_tab(self, tab: Tab | None) -> None:
        """Let links and a bookmark of this tab lead to the page that was added last, unless it has begun before."""
        if tab is not None and all(tab != one for one, _ in self.tabs):
            self.tabs.append((tab, self.page))

    def bytes(self) -> bytes:
        if self.tabs:
            bookmark(self.document, self.tabs)
        data: bytes = self.document.GetPDFData(None)
        return data

    def _describe(self, paper: Paper) -> None:
        info = self.document.info
        info.title = f"{paper.title} {paper.number}".strip()
        info.author = paper.shop[0] if paper.shop else PROGRAM
        info.subject = f"Version {paper.version}, {paper.dated}" if paper.version else paper.dated
        info.creator = info.producer = PROGRAM
        catalog = self.document.Catalog
        catalog.__NoDefault__ = [*catalog.__NoDefault__, "OutputIntents"]
        catalog.OutputIntents = pdfdoc.PDFArray([self._output_intent()])
        catalog.Metadata = self._metadata()
        catalog.ViewerPreferences = pdfdoc.PDFDictionary({"DisplayDocTitle": "true"})

    def _output_intent(self) -> Any:
        profile = pdfdoc.PDFStream(
            pdfdoc.PDFDictionary({"N": 3, "Filter": pdfdoc.PDFName("FlateDecode")}), _packed_profile()
        )
        return pdfdoc.PDFDictionary(
            {
                "Type": pdfdoc.PDFName("OutputIntent"),
                "S": pdfdoc.PDFName("GTS_PDFA1"),
                "OutputConditionIdentifier": pdfdoc.PDFString("sRGB"),
                "Info": pdfdoc.PDFString("sRGB IEC61966-2.1"),
                "DestOutputProfile": self.document.Reference(profile),
            }
        )

    def _metadata(self) -> Any:
        info, at = self.document.info, self.document._timeStamp.instant.isoformat(timespec="seconds")
        packet = XMP.format(
            title=escape(info.title),
            author=escape(info.author),
            subject=escape(info.subject),
            program=PROGRAM,
            at=at,
        )
        kind = {"Type": pdfdoc.PDFName("Metadata"), "Subtype": pdfdoc.PDFName("XML")}
        return pdfdoc.PDFStream(pdfdoc.PDFDictionary(kind), packet.encode())


class Stamp:
    """The instant a paper was made, as ReportLab wants it; a paper without one is undated, never "now"."""

    def __init__(self, made_at: str) -> None:
        self.instant = datetime.fromisoformat(made_at) if made_at else UNDATED
        offset = self.instant.utcoffset()
        minutes = int(offset.total_seconds() // 60) if offset else 0
        sign = -1 if minutes < 0 else 1
        self.dhh, self.dmm = sign * (abs(minutes) // 60), abs(minutes) % 60
        self.YMDhms = self.instant.timetuple()[:6]


@cache
def _packed_profile() -> bytes:
    return zlib.compress((FONTS / "sRGB.icc").read_bytes(), 9)


def _link(box: tuple[float, float, float, float], url: str) -> Any:
    """A click on the QR opens what the QR says. 4 is the flag "print", which ISO 19005-1, 6.5.3 asks for."""
    action = {"S": pdfdoc.PDFName("URI"), "URI": pdfdoc.PDFString(url)}
    return pdfdoc.PDFDictionary(
        {
            "Type": pdfdoc.PDFName("Annot"),
            "Subtype": pdfdoc.PDFName("Link"),
            "Rect": pdfdoc.PDFArray(list(box)),
            "Border": pdfdoc.PDFArray([0, 0, 0]),
            "F": 4,
            "A": pdfdoc.PDFDictionary(action),
        }
    )


XMP = """<?xpacket begin="\ufeff" id="W5M0MpCehiHzreSzNTczkc9d"?>
<x:xmpmeta xmlns:x="adobe:ns:meta/"><rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
<rdf:Description rdf:about="" xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/"
 pdfaid:part="1" pdfaid:conformance="B"/>
<rdf:Description rdf:about="" xmlns:dc="http://purl.org/dc/elements/1.1/">
<dc:format>application/pdf</dc:format>
<dc:title><rdf:Alt><rdf:li xml:lang="x-default">{title}</rdf:li></rdf:Alt></dc:title>
<dc:creator><rdf:Seq><rdf:li>{author}</rdf:li></rdf:Seq></dc:creator>
<dc:description><rdf:Alt><rdf:li xml:lang="x-default">{subject}</rdf:li></rdf:Alt></dc:description>
</rdf:Description>
<rdf:Description rdf:about="" xmlns:xmp="http://ns.adobe.com/xap/1.0/" xmp:CreatorTool="{program}"
 xmp:CreateDate="{at}" xmp:ModifyDate="{at}"/>
<rdf:Description rdf:about="" xmlns:pdf="http://ns.adobe.com/pdf/1.3/" pdf:Producer="{program}" pdf:Keywords=""/>
</rdf:RDF></x:xmpmeta>
<?xpacket end="w"?>"""
