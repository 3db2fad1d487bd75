"""Suppliers, deliveries and their invoices as sheets."""

from __future__ import annotations

from collections.abc import Iterator

from inventory.models import DeliveryLine, Invoice, Supplier
from shop.core.sheet import Sheet, Value, columns, dollars, weighed
from shop.models import Establishment
from shop.sheets import clock

Rows = Iterator[tuple[Value, ...]]


def suppliers_sheet(establishment: Establishment) -> Sheet:
    return Sheet(
        "suppliers",
        "Whom the shop buys cans from.",
        columns(("name", "as typed"), ("address", "as typed"), ("phone", "as typed")),
        Supplier.objects.filter(establishment=establishment)
        .values_list("name", "address", "phone")
        .iterator(),
    )


def deliveries_sheet(establishment: Establishment) -> Sheet:
    """One row for each kind of can on each delivery; prices stand in the sheet of invoices."""
    return Sheet(
        "deliveries",
        "Deliveries, one row for each kind of can on the slip. No prices here.",
        (
            *columns(
                ("number", "the delivery"),
                ("arrived_on", "day"),
                ("supplier", "who it came from"),
                ("slip", "packing slip number"),
                ("asked", "what the supplier asked for"),
                ("refrigerant", "of this line"),
                ("kind", "kind of can"),
                ("on_slip", "cans on the slip"),
                ("sound", "cans that came sound"),
                ("damaged", "cans that came damaged"),
                ("to_come", "cans of the slip that did not come"),
            ),
            *weighed("net", "what one can holds by its label"),
            *columns(
                ("received_g", "sound cans times label net, g, exact"),
                ("undone", "yes when it was taken back out of the book"),
                ("signed_by", "who"),
                ("signed_at", "when, on the shop's clock"),
            ),
        ),
        _deliveries(establishment),
    )


def _deliveries(establishment: Establishment) -> Rows:
    lines = DeliveryLine.objects.filter(delivery__establishment=establishment).order_by("delivery_id", "pk")
    for line in lines.select_related(
        "delivery__supplier", "delivery__by", "delivery__undone", "type"
    ).iterator():
        one, kind = line.delivery, line.type
        yield (
            one.number,
            one.on,
            one.supplier.name,
            one.slip,
            one.asked,
            kind.refrigerant_id,
            kind.name,
            line.on_slip,
            line.sound,
            line.damaged,
            line.to_come,
            kind.net_text,
            kind.net_unit,
            kind.net,
            kind.net * line.sound,
            hasattr(one, "undone"),
            one.by.name,
            clock(establishment, one.at),
        )


def invoices_sheet(establishment: Establishment) -> Sheet:
    """Money of deliveries, apart from the refrigerant book."""
    rows = Invoice.objects.filter(delivery__establishment=establishment).select_related(
        "delivery__supplier", "by"
    )
    return Sheet(
        "invoices",
        "Invoices as typed; a later row of a delivery puts its price right and the earlier ones are kept.",
        columns(
            ("delivery", "its number"),
            ("supplier", "who it came from"),
            ("invoice", "its number"),
            ("dated", "day on the invoice"),
            ("total_dollars", "total with tax and deposit"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.delivery.number,
                one.delivery.supplier.name,
                one.number,
                one.dated,
                dollars(one.total_cents),
                one.by.name,
                clock(establishment, one.at),
            )
            for one in rows.iterator()
        ),
    )
