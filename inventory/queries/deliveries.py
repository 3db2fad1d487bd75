"""Reads about deliveries: slips, lines, cans, papers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Any

from django.db.models import F, Prefetch, Q, QuerySet
from django.db.models.functions import Coalesce, Greatest

from inventory.models import (
    Attachment,
    Container,
    Delivery,
    DeliveryLine,
    Invoice,
    OtherSlip,
    Supplier,
)
from shop.models import Establishment

REMEMBERED = 6  # deliveries that show what is usual
PICKED_FROM = 30  # deliveries among which another one of the same invoice or slip is looked for


def deliveries(establishment: Establishment) -> QuerySet[Delivery]:
    """Deliveries, newest first, with their lines counted and their invoices as they hold now."""
    rows = Delivery.objects.filter(establishment=establishment).select_related(
        "supplier", "by", "undone", "merged__delivery"
    )
    return rows.prefetch_related(
        "lines__type", "other_slips__was", Prefetch("invoices", Invoice.objects.standing(), to_attr="bills")
    )


def delivery_of_slip(supplier: Supplier, slip: str) -> Delivery | None:
    """The delivery that a slip of this supplier is in already, under its own number or as a second paper."""
    rows = Delivery.objects.filter(supplier=supplier, undone=None)
    return rows.filter(Q(slip=slip) | Q(other_slips__slip=slip)).select_related("supplier").first()


def looks_like(
    establishment: Establishment, supplier: Supplier, on: date, cans: Mapping[tuple[int, int], int]
) -> Delivery | None:
    """A delivery of that day and supplier with the same kinds and numbers of cans: (type, cans on the slip) → lines."""
    rows = Delivery.objects.filter(establishment=establishment, supplier=supplier, on=on, undone=None)
    for one in rows.prefetch_related("lines"):
        if Counter((line.type_id, line.on_slip) for line in one.lines.all()) == cans:
            return one
    return None


def usual_delivery(establishment: Establishment) -> dict[str, Any]:
    """What the last delivery suggests for the next one: its supplier and the kind of its first line."""
    last = deliveries(establishment).first()
    if last is None:
        return {}
    return {"supplier": last.supplier_id, "type_0": last.lines.all()[0].type_id}


@dataclass(frozen=True, slots=True)
class UsualOrder:
    """What one supplier mostly brings: (kind, cans)."""

    supplier: Supplier
    lines: tuple[tuple[Any, int], ...]


def usual_orders(establishment: Establishment) -> list[UsualOrder]:
    """For each supplier the lines that came most often of late; of two that came equally often the newer."""
    came: dict[Supplier, list[tuple[tuple[Any, int], ...]]] = {}
    for one in deliveries(establishment).filter(undone=None)[: 5 * REMEMBERED]:
        lines = tuple((line.type, line.on_slip) for line in one.lines.all())
        came.setdefault(one.supplier, []).append(lines)
    return [
        UsualOrder(supplier, Counter(orders[:REMEMBERED]).most_common(1)[0][0])
        for supplier, orders in came.items()
    ]


def cans_of(delivery: Delivery) -> QuerySet[Container]:
    """Every can of a delivery, damaged ones and later ones too, by number."""
    cans = Container.objects.filter(delivered__line__delivery=delivery)
    kin = ("delivered__receipt", "fate", "can__type__refrigerant", "given_back__slip")
    return cans.select_related(*kin).prefetch_related("lots", "damages").order_by("place_id")


@dataclass(frozen=True, slots=True)
class CanGroup:
    """Cans of one delivery, kind, lot and fate ("" while they are in use)."""

    title: str
    fate: str
    cans: tuple[Container, ...]


def can_groups(delivery: Delivery) -> list[CanGroup]:
    """A delivery's cans, put together by kind, lot and fate."""
    groups: dict[tuple[str, str], list[Container]] = {}
    for can in cans_of(delivery):
        title = f"{can.can.type}, lot {can.lot_now}" if can.lot_now else f"{can.can.type}, no lot"
        fate = str(can.fate.get_what_display()) if hasattr(can, "fate") else ""
        groups.setdefault((title, fate), []).append(can)
    return [CanGroup(title, fate, tuple(cans)) for (title, fate), cans in groups.items()]


def lines_to_come(establishment: Establishment, *, since: date) -> QuerySet[DeliveryLine]:
    """Lines of deliveries since a day that brought fewer cans than were ordered or are on their slip."""
    lines = DeliveryLine.objects.filter(delivery__establishment=establishment, delivery__undone=None)
    lines = lines.filter(delivery__on__gte=since, not_coming=None)
    wanted = Greatest(Coalesce("ordered", "on_slip"), "on_slip")
    return (
        lines.alias(wanted=wanted).filter(wanted__gt=F("came")).select_related("delivery__supplier", "type")
    )


def papers_of(delivery: Delivery) -> QuerySet[Attachment]:
    """What was put on file with a delivery, and with those that turned out to be the same; without the bytes."""
    rows = Attachment.objects.filter(Q(delivery=delivery) | Q(delivery__merged__delivery=delivery))
    return rows.defer("content").select_related("delivery", "by")


def same_supplier(delivery: Delivery) -> QuerySet[Delivery]:
    """Other deliveries of its supplier, newest first: for an invoice that bills two, or a slip that is in twice."""
    rows = Delivery.objects.filter(supplier=delivery.supplier_id, undone=None).exclude(pk=delivery.pk)
    return rows.filter(pk__in=rows.values("pk")[:PICKED_FROM])


def slips_of(delivery: Delivery) -> list[OtherSlip]:
    """The second papers of a delivery."""
    return list(delivery.other_slips.select_related("was", "by"))
