"""The whole shop in open formats: lists and tables as CSV, papers as PDF, what was attached, photos as JPEG, and a hash
of every file."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import AbstractContextManager
from datetime import datetime
from pathlib import Path
from typing import IO, Protocol

from compliance.models import Document, Photo, StatementProof
from compliance.sheets import SHEETS
from compliance.sheets.jobs import photo_name
from compliance.sheets.tables import table_sheets
from inventory.models import Attachment, EarlierPaper, FoundCan
from shop.core.sheet import Sheet, csv_text, readme
from shop.models import CardImage, Establishment
from shop.sheets import clock

MANIFEST = "MANIFEST.sha256"
Files = Iterator[tuple[str, Iterable[bytes]]]
README = """{shop}: everything that Tarebook keeps of it, as of {at}.

lists/     each list as a person reads it, CSV
tables/    each table as the program keeps it, CSV; columns that end in _id name rows of other tables
papers/    every version of every paper, PDF, byte for byte as signed
slips/     packing slips, invoices and photos attached to deliveries, PDF or JPEG; the number is their row's id
earlier/   scans of the shop's own paper from before the book, by month, PDF or JPEG
cards/     copies of 609 cards, PDF or JPEG; the numbers are the rows of the card and of the copy
proofs/    proof that equipment statements were sent, PDF or JPEG; the number is their row's id
photos/    every photo, JPEG
{manifest}  the SHA-256 of every other file; check with: sha256sum -c {manifest}

CSV is UTF-8 with a byte order mark, comma and double quotes (RFC 4180). Masses are exact grams. Days are
year-month-day. In lists instants are on the shop's clock, in tables in UTC; each with its offset. Text that a
spreadsheet would take for a formula has an apostrophe before it. Passwords, PINs and badges are left out.

Lists
=====

{lists}
Tables
======

{tables}"""


class Writes(Protocol):
    """As much of a file as is needed here."""

    def write(self, data: bytes, /) -> object: ...


def whole_shop(establishment: Establishment, at: datetime) -> Files:
    """(path, pieces) of every file but the manifest. Pieces are read as they are written, one file at a time."""
    yield "README.txt", [_readme(establishment, at).encode()]
    for listed in SHEETS:
        yield f"lists/{listed.name}.csv", _csv(listed.make(establishment))
    for table in table_sheets(establishment):
        yield f"tables/{table.name}.csv", _csv(table)
    papers = Document.objects.filter(establishment=establishment).defer("facts").order_by("pk")
    for paper in papers.iterator(chunk_size=20):
        yield f"papers/{paper.number}-v{paper.version}.pdf", [bytes(paper.pdf)]
    attached = Attachment.objects.filter(delivery__establishment=establishment).select_related("delivery")
    for one in attached.order_by("pk").iterator(chunk_size=20):
        yield f"slips/{one.delivery.number}/{one.pk}-{one.what}.{one.ending}", [bytes(one.content)]
    for scan in EarlierPaper.objects.filter(establishment=establishment).iterator(chunk_size=20):
        yield f"earlier/{scan.month:%Y-%m}/{scan.pk}.{scan.ending}", [bytes(scan.content)]
    yield from _cards_and_proofs(establishment)
    photos = Photo.objects.filter(job__establishment=establishment).select_related("job").order_by("pk")
    for photo in photos.iterator(chunk_size=20):
        yield photo_name(photo), [bytes(photo.jpeg)]
    found = FoundCan.objects.filter(container__establishment=establishment).exclude(sha256="")
    for can in found.order_by("pk").iterator(chunk_size=20):
        yield f"photos/found/{can.container_id}.jpg", [bytes(can.jpeg)]


def _cards_and_proofs(establishment: Establishment) -> Files:
    """Copies of 609 cards, and proof that statements were sent."""
    images = CardImage.objects.filter(card__person__establishment=establishment).order_by("pk")
    for image in images.iterator(chunk_size=20):
        yield f"cards/{image.card_id}-{image.pk}.{_ending(image.media)}", [bytes(image.content)]
    proofs = StatementProof.objects.filter(sent__document__establishment=establishment).order_by("pk")
    for one in proofs.select_related("sent__document").iterator(chunk_size=20):
        paper = one.sent.document
        name = f"proofs/{paper.number}-v{paper.version}/{one.pk}.{_ending(one.media)}"
        yield name, [bytes(one.content)]


def _ending(media: str) -> str:
    return "pdf" if media == CardImage.Media.PDF else "jpg"


def write_zip(files: Files, file: IO[bytes]) -> int:
    """Write the files and their manifest as a ZIP. How many files there are, the manifest with them."""
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        return _written(files, lambda path: archive.open(path, "w", force_zip64=True))


def write_folder(files: Files, folder: Path) -> int:
    """The same into a folder."""

    def opened(path: str) -> IO[bytes]:
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        return (folder / path).open("xb")

    return _written(files, opened)


def _written(files: Files, opened: Callable[[str], AbstractContextManager[Writes]]) -> int:
    seals = []
    for path, pieces in files:
        seal = hashlib.sha256()
        with opened(path) as file:
            for piece in pieces:
                seal.update(piece)
                file.write(piece)
        seals.append(f"{seal.hexdigest()}  {path}\n")
    with opened(MANIFEST) as file:
        file.write("".join(seals).encode())
    return len(seals) + 1


def _csv(sheet: Sheet) -> Iterator[bytes]:
    return (text.encode() for text in csv_text(sheet))


def _readme(establishment: Establishment, at: datetime) -> str:
    return README.format(
        shop=establishment.name,
        at=clock(establishment, at).isoformat(" ", "minutes"),
        manifest=MANIFEST,
        lists=readme(listed.make(establishment) for listed in SHEETS),
        tables=readme(table_sheets(establishment)),
    )
