"""Links that a customer opens: one certificate each, until it is taken back."""

from __future__ import annotations

from django.db import models

from compliance.models.papers import Closing
from shop.records import Record


class CustomerLink(Record):
    """Whoever holds this address reads the newest certificate of one job, and nothing else.

    The token is kept as it is: who can read this table can read the certificates too, and the counter may show the
    address again.
    """

    closing = models.ForeignKey(Closing, on_delete=models.PROTECT, related_name="links")
    token = models.CharField(max_length=48, unique=True)
    given_to = models.CharField(max_length=80)

    class Meta:
        ordering = ["-pk"]


class CustomerLinkEnd(Record):
    """The address opens nothing any more."""

    link = models.OneToOneField(CustomerLink, on_delete=models.PROTECT, related_name="end")
