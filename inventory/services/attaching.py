"""Papers and photos, known by their content: a name or a stated type counts for nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from inventory.models import Attachment, Delivery
from shop.core.canonical import sha256
from shop.core.findings import Refused, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services.cleaning import clean_photo

MOST_BYTES = 10 * 1024 * 1024
MOST = 20  # of one delivery; every one of them goes into each backup
HEAD, TAIL = b"%PDF-", b"%%EOF"  # ISO 32000-2, 7.5.2 and 7.5.5
TAIL_WITHIN = 1024  # bytes from the end; what readers are used to, no source


@dataclass(frozen=True, slots=True)
class PaperIn:
    """A file that was looked into: a whole PDF, or a picture drawn anew."""

    media: Attachment.Media
    content: bytes


def read_paper(sent: bytes) -> PaperIn:
    """What a file is, by its first and last bytes. Raises ``Refused`` with one sentence about the field ``paper``."""
    if len(sent) > MOST_BYTES:
        raise _refused(
            "paper-too-large", phrase("The file is larger than 10 MB. Scan it in a coarser setting.")
        )
    if not sent.startswith(HEAD):
        return _picture(sent)
    if TAIL not in sent[-TAIL_WITHIN:]:
        raise _refused("paper-broken", phrase("The PDF did not come in whole. Send it once more."))
    return PaperIn(Attachment.Media.PDF, sent)


def _picture(sent: bytes) -> PaperIn:
    try:
        return PaperIn(Attachment.Media.JPEG, clean_photo(sent).jpeg)
    except Refused as refused:
        if refused.findings[0].code != "photo-unknown":
            raise _refused(refused.findings[0].code, refused.findings[0].message) from refused
        sentence = phrase("This file is neither a PDF nor a photo in JPEG, PNG or WebP. Choose another.")
        raise _refused("paper-unknown", sentence) from refused


def _refused(code: str, sentence: str) -> Refused:
    return Refused([blocked(code, sentence, "paper")])


@transaction.atomic
def attach_paper(
    delivery: Delivery, paper: PaperIn, what: Attachment.What, *, at: datetime, by: Person
) -> Attachment:
    """Keep a paper with its delivery. The same bytes sent again are answered with the ones that are kept."""
    Delivery.objects.select_for_update(no_key=True, of=("self",)).get(pk=delivery.pk)
    digest = sha256(paper.content)
    known = Attachment.objects.defer("content").filter(delivery=delivery, sha256=digest).first()
    if known is None and delivery.attachments.count() >= MOST:
        sentence = phrase(
            "{delivery} has {most} papers already, the most it keeps.", delivery=delivery.number, most=MOST
        )
        refuse_if_blocked([blocked("papers-too-many", sentence, "paper")])
    return known or Attachment.objects.create(
        delivery=delivery,
        what=what,
        media=paper.media,
        content=paper.content,
        sha256=digest,
        size=len(paper.content),
        at=at,
        by=by,
    )
