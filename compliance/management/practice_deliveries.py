"""The practice shop's truck: three deliveries, one crushed can that went back, one case that is still to come."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date

from compliance.management.practice_work import Shop, at, read
from inventory import services as cabinet
from inventory.core.money import Per
from inventory.models import Container, ReturnSlip

CASE_TO_COME = date(2026, 6, 26)  # the day that the supplier named; the practice clock starts after it


def deliver(
    slip: str,
    gas: str,
    on_slip: int,
    sound: int,
    damaged: int,
    lot: str,
    invoice: tuple[str, int, int] | None,
) -> Callable[[Shop, date], None]:
    """One slip; ``invoice`` is its number, what all cans cost and the tax, in cents."""

    def happens(shop: Shop, day: date) -> None:
        assert shop.supplier is not None  # noqa: S101
        due = CASE_TO_COME if on_slip > sound + damaged else None
        line = cabinet.LineIn(shop.kinds[gas], on_slip, sound, damaged, ((lot, sound),), due=due)
        came = cabinet.DeliveryIn(shop.supplier, slip, day, (line,))
        logged = cabinet.receive_delivery(came, shop.establishment, today=day, at=at(day, 8, 40), by=shop.lee)
        if invoice is not None:
            number, goods, tax = invoice
            price = cabinet.PriceIn(logged.lines.get(), on_slip, goods, Per.ALL)
            paper = cabinet.InvoiceIn(number, day, goods + tax, tax, prices=(price,))
            cabinet.add_invoice(logged, paper, today=day, at=at(day, 9), by=shop.lee)

    return happens


def crushed_can(shop: Shop, day: date) -> None:
    """It hissed, so it was weighed: 402 g where a full can weighs 466 g. The driver took it; no credit has come."""
    can = Container.objects.get(delivered__sound=False)
    delivery = can.delivered.line.delivery
    damage = cabinet.DamageIn(
        "crushed seam, hissing",
        "outside, upright, by the north wall",
        cabinet.TicketIn(shop.gear["SC-1"], read(402)),
    )
    cabinet.note_damage(can, damage, today=day, at=at(day, 8, 50), by=shop.lee)
    sent = cabinet.ReturnIn(
        (can,), day, ReturnSlip.To.SUPPLIER, "the driver of the truck", "crushed seam, found at the door"
    )
    cabinet.return_cans(delivery, sent, today=day, at=at(day, 8, 55), by=shop.lee)
