"""What has happened in the shop before a page is opened, written by the real services."""

from __future__ import annotations

from datetime import datetime

from inventory.models import CountLine
from inventory.services import CountedIn, CountIn, record_count
from tests.compliance.work import Bay
from tests.factories import Shop, cans_of, receive, ticket_in


def a_quarter(shop: Shop, *, work: datetime, count: datetime) -> Bay:
    """A case of twelve received, the sample job closed, and the cabinet counted at the end."""
    cans = cans_of(receive(shop, on=work.date(), at=work))
    bay = Bay.check_in(shop, at=work)
    bay.straight(cans[0], cans[1])
    counted = [
        CountedIn(cans[0], CountLine.How.WEIGHED, ticket_in(shop, "128")),
        CountedIn(cans[1], CountLine.How.WEIGHED, ticket_in(shop, "290")),
        *(CountedIn(can, CountLine.How.SEALED) for can in cans[2:]),
        CountedIn(shop.rc02, CountLine.How.WEIGHED, ticket_in(shop, "7966")),
    ]
    record_count(CountIn(count.date(), counted), shop.establishment, at=count, by=shop.marta)
    return bay
