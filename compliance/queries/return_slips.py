"""From the rows of a return slip to the facts of its paper."""

from __future__ import annotations

from django.conf import settings

from compliance.core.return_slip import ReturnedCanFacts, ReturnSlipFacts
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local
from inventory.models import Container, ReturnSlip
from inventory.queries import invoices_of


def return_slip_facts(slip: ReturnSlip) -> ReturnSlipFacts:
    """The same rows always make the same facts, so the paper is drawn when it is asked for and not stored."""
    house, delivery = slip.establishment, slip.delivery
    cans = sorted((row.container for row in slip.cans.all()), key=lambda can: can.code)
    return ReturnSlipFacts(
        number=slip.number,
        on=slip.on.isoformat(),
        shop=shop_facts(house),
        supplier=delivery.supplier.name,
        supplier_address=delivery.supplier.address,
        slip=delivery.slip,
        invoices=tuple(one.invoice.number for one in invoices_of(delivery)),
        to=slip.get_to_display(),
        handed_to=slip.handed_to,
        reason=slip.reason,
        cans=tuple(_can(can) for can in cans),
        made_at=local(house, slip.at).isoformat(timespec="minutes"),
        made_by=slip.by.name,
        practice=settings.PRACTICE,
    )


def _can(can: Container) -> ReturnedCanFacts:
    damages = list(can.damages.all())
    weighed = [damage for damage in damages if damage.ticket_id is not None]
    return ReturnedCanFacts(
        code=can.code,
        what=str(can.can.type),
        lot=can.lot_now,
        wrong="; ".join(damage.what for damage in damages),
        lost_ug=weighed[0].lost.ug if weighed else None,
    )
