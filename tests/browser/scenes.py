"""What has happened in the shop before a page is opened, written by the real services."""

from __future__ import annotations

from datetime import datetime

from compliance.models import Closing
from compliance.services import Change, correct_job, issue_case_file, place_hold
from inventory.core.money import Per
from inventory.models import Container, CountLine, ReturnSlip
from inventory.services import (
    CountedIn,
    CountIn,
    DamageIn,
    InvoiceIn,
    LineIn,
    PriceIn,
    ReturnIn,
    add_invoice,
    note_damage,
    record_count,
    return_cans,
)
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


def a_short_delivery(shop: Shop, *, at: datetime) -> None:
    """Five on the slip: two sound, K-0015 and K-0016 crushed, one to come. K-0015 went back, and was billed."""
    day = at.date()
    delivery = receive(shop, LineIn(shop.can12, 5, 2, damaged=2), slip="88977", on=day, at=at)
    crushed = Container.objects.get(pk="K-0015")
    damage = DamageIn("crushed seam, hissing", "outside, upright", ticket_in(shop, "402"))
    note_damage(crushed, damage, today=day, at=at, by=shop.lee)
    sent = ReturnIn((crushed,), day, ReturnSlip.To.SUPPLIER, "the driver", "crushed seam")
    return_cans(delivery, sent, today=day, at=at, by=shop.lee)
    price = PriceIn(delivery.lines.get(), 2, 1710, Per.CAN)
    add_invoice(delivery, InvoiceIn("550918", day, 5130, prices=(price,)), today=day, at=at, by=shop.lee)


def afterwards(shop: Shop, *, at: datetime) -> None:
    """The closed job's odometer is put right by CS24-0001, the job is on hold, and it has its case file."""
    job = Closing.objects.get().job
    left_out = Change("check-in-1-odometer", "", "118402")
    correct_job(job, [left_out], why="left out at check-in", on=at.date(), at=at, by=shop.marta)
    place_hold(job, why="the insurer writes that it was overcharged", at=at, by=shop.marta)
    issue_case_file(job, why="the insurer writes that it was overcharged", on=at.date(), at=at, by=shop.marta)
