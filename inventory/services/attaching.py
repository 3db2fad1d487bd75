"""Papers and photos, known by their content: a name or a stated type counts for nothing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from inventory.models import Attachment, Delivery
from shop.core.canonical import sha256
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services.papers import read_file

MOST = 20  # of one delivery; every one of them goes into each backup


@dataclass(frozen=True, slots=True)
class PaperIn:
    """A file that was looked into: a whole PDF, or a picture drawn anew."""

    media: Attachment.Media
    content: bytes


def read_paper(sent: bytes) -> PaperIn:
    """What a file is, by its content. Raises ``Refused`` with one sentence about the field ``paper``."""
    read = read_file(sent)
    return PaperIn(Attachment.Media(read.media), read.content)


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
