"""Reads about customers' links."""

from __future__ import annotations

from django.db.models import QuerySet

from compliance.models import Closing, CustomerLink, Document
from compliance.queries.cleared import clearing_of


def links_of(closing: Closing) -> QuerySet[CustomerLink]:
    """Every link that was ever given of a job, newest first."""
    return CustomerLink.objects.filter(closing=closing).select_related("by", "end__by")


def link_with(token: str) -> CustomerLink | None:
    """The link with this token, unless it was taken back or its job's details are put away or cleared."""
    links = CustomerLink.objects.filter(token=token, end=None)
    link = links.select_related("closing__job__establishment").first()
    return link if link is None or clearing_of(link.closing.job) is None else None


def newest_certificate(closing: Closing) -> Document:
    """The version of a job's certificate that no other replaces."""
    rows = Document.objects.filter(certificate__closing=closing).select_related("withdrawal", "replaces")
    newest = rows.order_by("-version").first()
    assert newest is not None  # noqa: S101 - a closing is written with its certificate
    return newest
