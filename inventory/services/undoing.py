"""What takes a delivery back: undone as a slip of the hand, found to be in twice, or its rest never coming."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from inventory.models import (
    Damage,
    DeliveredCan,
    Delivery,
    DeliveryLine,
    DeliveryUndone,
    Fate,
    NotComing,
    OtherSlip,
    ReturnSlip,
)
from inventory.posting import reverse
from inventory.services.finding import findable_delivery
from inventory.services.receiving import hold_slips
from inventory.services.slips import as_slip, slip_problems
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services.finding import make_findable


@transaction.atomic
def undo_delivery(delivery: Delivery, *, why: str, today: date, at: datetime, by: Person) -> DeliveryUndone:
    """Take back a delivery logged by mistake, with what came later of it.

    Refused once a can of it was weighed or drawn from, refused later or sent back.
    """
    Delivery.objects.select_for_update(no_key=True, of=("self",)).get(pk=delivery.pk)
    rows = DeliveredCan.objects.filter(line__delivery=delivery).select_related("container__fate")
    cans = [row.container for row in rows.prefetch_related("container__tickets")]
    refuse_if_blocked(
        [
            *_why_problems(why, phrase("Say in a few words why it is undone.")),
            *_undone_already(delivery),
            *_used(delivery, [can.code for can in cans if can.tickets.all()]),
        ]
    )
    text = f"Undone: {delivery.number}, {why.strip()}"[:200]
    for receipt in delivery.receipts.select_related("entry").order_by("-pk"):
        reverse(receipt.entry, on=today, text=text, at=at, by=by)
    entry = reverse(delivery.entry, on=today, text=text, at=at, by=by)
    Fate.objects.bulk_create(
        Fate(container=can, what=Fate.What.UNDONE, at=at, by=by) for can in cans if not hasattr(can, "fate")
    )
    return DeliveryUndone.objects.create(delivery=delivery, entry=entry, why=why.strip(), at=at, by=by)


@transaction.atomic
def merge_deliveries(keep: Delivery, other: Delivery, *, today: date, at: datetime, by: Person) -> OtherSlip:
    """Two deliveries turn out to be one: ``other`` is undone, and its slip becomes a second paper of ``keep``.

    One set of cans stays, that of ``keep``; what was put on file with ``other`` is found from there.
    """
    refuse_if_blocked(_merge_problems(keep, other))
    hold_slips(keep.supplier)
    refuse_if_blocked(_undone_already(keep))
    undo_delivery(other, why=f"the same delivery as {keep.number}", today=today, at=at, by=by)
    merged = OtherSlip.objects.create(delivery=keep, slip=other.slip, was=other, at=at, by=by)
    make_findable(keep.establishment, findable_delivery(keep))
    return merged


@transaction.atomic
def add_slip(delivery: Delivery, slip: str, *, at: datetime, by: Person) -> OtherSlip:
    """Keep a second slip number of a delivery that is in: the same cans on another paper."""
    number = as_slip(slip)
    hold_slips(delivery.supplier)
    found = [*_undone_already(delivery), *slip_problems(delivery.supplier, number)]
    if not number:
        found.append(blocked("slip-empty", phrase("Type the number on the packing slip."), "slip"))
    refuse_if_blocked(found)
    other = OtherSlip.objects.create(delivery=delivery, slip=number, at=at, by=by)
    make_findable(delivery.establishment, findable_delivery(delivery))
    return other


@transaction.atomic
def drop_rest(line: DeliveryLine, *, why: str, at: datetime, by: Person) -> NotComing:
    """The supplier will not send what was to come of a line; it is waited for no longer."""
    Delivery.objects.select_for_update(no_key=True, of=("self",)).get(pk=line.delivery_id)
    found = _why_problems(why, phrase("Say in a few words who said so."))
    if DeliveryLine.objects.get(pk=line.pk).to_come == 0:
        sentence = phrase("{what}: nothing is to come.", what=str(line.type))
        found.append(blocked("nothing-to-come", sentence, "why"))
    refuse_if_blocked(found)
    return NotComing.objects.create(line=line, why=why.strip(), at=at, by=by)


def _why_problems(why: str, sentence: str) -> list[Finding]:
    return [] if why.strip() else [blocked("why-empty", sentence, "why")]


def _undone_already(delivery: Delivery) -> list[Finding]:
    if not DeliveryUndone.objects.filter(delivery=delivery).exists():
        return []
    sentence = phrase("{delivery} is already undone.", delivery=delivery.number)
    return [blocked("delivery-undone", sentence, "why")]


def _used(delivery: Delivery, weighed: list[str]) -> list[Finding]:
    found = []
    if weighed:
        sentence = phrase(
            "{cans} of this delivery was already weighed for use. It cannot be undone.",
            cans=", ".join(sorted(weighed)[:5]),
        )
        found.append(blocked("delivery-used", sentence, "why"))
    refused = (
        Damage.objects.filter(container__delivered__line__delivery=delivery).exclude(entry=None).exists()
    )
    if refused or ReturnSlip.objects.filter(delivery=delivery).exists():
        sentence = phrase("Cans of this delivery were refused or sent back. It cannot be undone.")
        found.append(blocked("delivery-returned", sentence, "why"))
    return found


def _merge_problems(keep: Delivery, other: Delivery) -> list[Finding]:
    if keep.pk == other.pk:
        return [blocked("merge-itself", phrase("Choose another delivery than this one."), "other")]
    if keep.supplier_id != other.supplier_id:
        sentence = phrase("They came from two suppliers. Cans of two suppliers are two deliveries.")
        return [blocked("merge-suppliers", sentence, "other")]
    return []
