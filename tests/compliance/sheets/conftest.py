"""A shop with something on every list."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from typing import Any

import pytest

from compliance.models import Clearing, ClearingLeftOut, JobHold
from compliance.services import issue_usage_report, make_archive, make_bundle
from compliance.sheets.writing import into_zip
from inventory.core.importing import What
from inventory.models import Attachment, Count, Delivery
from inventory.services import (
    FoundIn,
    InvoiceIn,
    LineIn,
    add_invoice,
    attach_paper,
    find_can,
    keep_earlier_paper,
    leave_difference,
    undo_delivery,
)
from inventory.services.attaching import read_paper
from shop.core.period import Period
from shop.services.cleaning import clean_photo
from tests.browser.scenes import a_quarter, afterwards
from tests.compliance.office import a_visit, whole_paper_trail
from tests.compliance.pictures import picture_of
from tests.compliance.work import Bay
from tests.conftest import Keep
from tests.factories import DAY, NOON, Shop, bring_in, receive, ticket_in

APRIL_1 = datetime(2024, 4, 1, 18, 0, tzinfo=UTC)
MARCH = datetime(2024, 3, 4, 18, 0, tzinfo=UTC)


@pytest.fixture(scope="module")
def full_of_all(keep: Keep, shop_of_all: Shop) -> None:
    keep(lambda: fill(shop_of_all))


@pytest.fixture
def full(full_of_all: None, shop: Shop) -> Shop:
    """The shop with all that ``fill`` puts into it."""
    return shop


def fill(shop: Shop) -> None:
    """A case and a closed job in March, counted and reported, corrected and put on hold; in April a delivery of two
    kinds with its slip, one undone, a can found in a drawer, and an open job of a customer whose name begins a formula,
    with a photo; and the copy of March for the office."""
    a_quarter(shop, work=MARCH, count=datetime(2024, 3, 29, 22, 0, tzinfo=UTC))
    issue_usage_report(
        shop.establishment, Period.quarter(2024, 1), today=APRIL_1.date(), at=APRIL_1, by=shop.marta
    )
    leave_difference(Count.objects.get(), "R-134a", note="within the scales", at=APRIL_1, by=shop.marta)
    afterwards(shop, at=APRIL_1)
    add_invoice(Delivery.objects.get(), InvoiceIn("55091", DAY, 40800), today=DAY, at=NOON, by=shop.lee)
    receive(shop, LineIn(shop.can12, 2, 2, lots=(("L24B-07", 2),)), LineIn(shop.can8, 3, 2), slip="88413")
    slip = read_paper(b"%PDF-1.4\na slip\n%%EOF\n")
    scan = read_paper(b"%PDF-1.4\nclipboard\n%%EOF\n")
    keep_earlier_paper(scan, DAY, "clipboard", shop.establishment, today=DAY, at=NOON, by=shop.lee)
    bring_in(shop, What.VEHICLES, "plate,vin,make\nSMP-9,,van\n")
    attach_paper(Delivery.objects.get(number="D24-0002"), slip, Attachment.What.SLIP, at=NOON, by=shop.lee)
    undone = receive(shop, slip="88414")
    undo_delivery(undone, why="typed twice", today=DAY, at=NOON, by=shop.marta)
    photo = clean_photo(picture_of("R-134a 12 oz, SAMPLE"))
    turned_up = FoundIn(shop.can12, "R-134a 12 oz", "bottom drawer", ticket_in(shop, "286"), photo=photo)
    find_can(turned_up, shop.establishment, on=DAY, at=NOON, by=shop.lee)
    whole_paper_trail(shop)
    a_visit(shop)
    copied: dict[str, Any] = {"month": Period.month(MARCH.date()), "today": DAY, "at": NOON, "by": shop.lee}
    make_bundle(shop.establishment, into_zip(io.BytesIO()), **copied)
    Bay.check_in(shop, plate="=SMP-9", customer='=HYPERLINK("http://x")').photograph()
    _kept_from_clearing(shop)


def _kept_from_clearing(shop: Shop) -> None:
    """Three years on somebody asked to clear what an archive holds, and the job on hold was left out."""
    later = datetime(2027, 5, 3, 18, 0, tzinfo=UTC)
    signed: dict[str, Any] = {"at": later, "by": shop.marta}
    day = later.date()
    archive = make_archive(shop.establishment, into_zip(io.BytesIO()), today=day, **signed)
    clearing = Clearing.objects.create(
        establishment=shop.establishment, archive=archive, how=Clearing.How.TYPED, on=day, **signed
    )
    held = JobHold.objects.get().job
    ClearingLeftOut.objects.create(clearing=clearing, job=held, why="it is on hold", **signed)
