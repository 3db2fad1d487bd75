"""Links for customers: made for one job, taken back any time."""

from __future__ import annotations

import secrets
from datetime import datetime

from django.db import transaction

from compliance.models import CustomerLink, CustomerLinkEnd, Document
from compliance.queries.cleared import cleared_paper_problems
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person

TOKEN_BYTES = 24  # 192 bits: nothing to guess


@transaction.atomic
def give_link(document: Document, *, given_to: str, seen: bool, at: datetime, by: Person) -> CustomerLink:
    """A new address for the job of a certificate. ``seen``: plate and VIN were held against the car or its paper."""
    found = cleared_paper_problems(document)
    if document.kind != Document.Kind.CERTIFICATE:
        found.append(blocked("link-kind", phrase("Only a service certificate is given by link."), ""))
    if not given_to.strip():
        found.append(blocked("link-to", phrase("Type whom it is given to."), "given_to"))
    if not seen:
        sentence = phrase("Look at plate and VIN, then tick that it is their car.")
        found.append(blocked("link-unseen", sentence, "seen"))
    refuse_if_blocked(found)
    return CustomerLink.objects.create(
        closing=document.certificate.closing,
        token=secrets.token_urlsafe(TOKEN_BYTES),
        given_to=given_to.strip(),
        at=at,
        by=by,
    )


@transaction.atomic
def end_link(link: CustomerLink, *, at: datetime, by: Person) -> CustomerLinkEnd:
    """The address opens nothing from now on."""
    if CustomerLinkEnd.objects.filter(link=link).exists():
        refuse_if_blocked([blocked("link-ended", phrase("This link has been taken back already."), "")])
    return CustomerLinkEnd.objects.create(link=link, at=at, by=by)
