"""The files behind the lists: papers, photos, scans, cards and proofs, each under its name in an export. What was
cleared after its time has none."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from django.db.models import QuerySet

from compliance.models import Document, Photo, StatementProof
from compliance.sheets.jobs import photo_name
from inventory.models import Attachment, EarlierPaper
from shop.core.sheet import Sheet, csv_text
from shop.models import CardImage

Files = Iterator[tuple[str, Iterable[bytes]]]
TOGETHER = 20  # files read from the database at once


def csv_file(sheet: Sheet, folder: str = "lists", name: str = "") -> tuple[str, Iterable[bytes]]:
    return f"{folder}/{name or sheet.name}.csv", (text.encode() for text in csv_text(sheet))


def paper_files(papers: QuerySet[Document], folder: str = "papers") -> Files:
    for paper in papers.exclude(pdf=b"").defer("facts").order_by("pk").iterator(chunk_size=TOGETHER):
        yield f"{folder}/{paper.number}-v{paper.version}.pdf", [bytes(paper.pdf)]


def photo_files(photos: QuerySet[Photo]) -> Files:
    for photo in photos.exclude(jpeg=b"").select_related("job").order_by("pk").iterator(chunk_size=TOGETHER):
        yield photo_name(photo), [bytes(photo.jpeg)]


def slip_files(attached: QuerySet[Attachment]) -> Files:
    for one in attached.select_related("delivery").order_by("pk").iterator(chunk_size=TOGETHER):
        yield f"slips/{one.delivery.number}/{one.pk}-{one.what}.{one.ending}", [bytes(one.content)]


def earlier_files(scans: QuerySet[EarlierPaper]) -> Files:
    for scan in scans.iterator(chunk_size=TOGETHER):
        yield f"earlier/{scan.month:%Y-%m}/{scan.pk}.{scan.ending}", [bytes(scan.content)]


def card_files(images: QuerySet[CardImage]) -> Files:
    for image in images.order_by("pk").iterator(chunk_size=TOGETHER):
        yield f"cards/{image.card_id}-{image.pk}.{_ending(image.media)}", [bytes(image.content)]


def proof_files(proofs: QuerySet[StatementProof]) -> Files:
    for one in proofs.select_related("sent__document").order_by("pk").iterator(chunk_size=TOGETHER):
        paper = one.sent.document
        name = f"proofs/{paper.number}-v{paper.version}/{one.pk}.{_ending(one.media)}"
        yield name, [bytes(one.content)]


def _ending(media: str) -> str:
    return "pdf" if media == CardImage.Media.PDF else "jpg"
