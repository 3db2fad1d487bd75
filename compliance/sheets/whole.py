"""The whole shop in open formats: lists and tables as CSV, papers as PDF, what was attached, photos as JPEG, and a hash
of every file."""

from __future__ import annotations

import hashlib
import zipfile
from collections.abc import Callable
from contextlib import AbstractContextManager
from datetime import datetime
from pathlib import Path
from typing import IO, Protocol

from compliance.models import Document, Photo, StatementProof
from compliance.sheets import SHEETS
from compliance.sheets.files import (
    Files,
    card_files,
    csv_file,
    earlier_files,
    paper_files,
    photo_files,
    proof_files,
    slip_files,
)
from compliance.sheets.tables import table_sheets
from inventory.models import Attachment, EarlierPaper, FoundCan
from shop.core.sheet import readme
from shop.models import CardImage, Establishment
from shop.sheets import clock

MANIFEST = "MANIFEST.sha256"
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
spreadsheet would take for a formula has an apostrophe before it. Passwords, PINs, badges, and
addresses and secrets of other programs are left out.

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
        yield csv_file(listed.make(establishment), name=listed.name)
    for table in table_sheets(establishment):
        yield csv_file(table, "tables")
    yield from paper_files(Document.objects.filter(establishment=establishment))
    yield from slip_files(Attachment.objects.filter(delivery__establishment=establishment))
    yield from earlier_files(EarlierPaper.objects.filter(establishment=establishment))
    yield from card_files(CardImage.objects.filter(card__person__establishment=establishment))
    yield from proof_files(StatementProof.objects.filter(sent__document__establishment=establishment))
    yield from photo_files(Photo.objects.filter(job__establishment=establishment))
    found = FoundCan.objects.filter(container__establishment=establishment).exclude(sha256="")
    for can in found.order_by("pk").iterator(chunk_size=20):
        yield f"photos/found/{can.container_id}.jpg", [bytes(can.jpeg)]


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


def _readme(establishment: Establishment, at: datetime) -> str:
    return README.format(
        shop=establishment.name,
        at=clock(establishment, at).isoformat(" ", "minutes"),
        manifest=MANIFEST,
        lists=readme(listed.make(establishment) for listed in SHEETS),
        tables=readme(table_sheets(establishment)),
    )
