"""What stands in the cabinet as sheets: containers, weigh tickets, counts, and the refrigerant book."""

from __future__ import annotations

from collections.abc import Iterator

from inventory.models import CountLine, Movement, WeighTicket
from inventory.queries import containers
from shop.core.sheet import Sheet, Value, columns, weighed
from shop.models import Establishment
from shop.sheets import clock

Rows = Iterator[tuple[Value, ...]]


def containers_sheet(establishment: Establishment) -> Sheet:
    """Every can and cylinder there ever was, and what the book says each holds."""
    return Sheet(
        "containers",
        "Cans and cylinders, also those whose use has ended. book_g of all rows is what the book has in containers.",
        (
            *columns(
                ("code", "its number"),
                ("kind", "can or cylinder"),
                ("refrigerant", "what it holds"),
                ("type", "kind of can"),
                ("lot", "as printed"),
                ("came_on", "day"),
                ("delivery", "that brought it"),
                ("book_g", "what it holds by the book, g, exact"),
            ),
            *weighed("last", "last weigh ticket, gross"),
            *columns(
                ("open_job", "the open job that has weighed it"),
                ("fate", "how its use ended"),
                ("fate_why", "as typed"),
            ),
        ),
        _containers(establishment),
    )


def _containers(establishment: Establishment) -> Rows:
    rows = containers(establishment).select_related("can__type", "delivered__line__delivery", "fate")
    for one in rows.order_by("pk").iterator():
        kind = one.can.type.name if hasattr(one, "can") else None
        delivery = one.delivered.line.delivery.number if hasattr(one, "delivered") else None
        fate = (one.fate.what, one.fate.why) if hasattr(one, "fate") else (None, None)
        yield (
            one.code,
            one.kind,
            one.refrigerant_id,
            kind,
            one.lot,
            one.came_on,
            delivery,
            one.book,
            one.last_text,
            one.last_unit,
            one.last_gross,
            one.waits_for,
            *fate,
        )


def tickets_sheet(establishment: Establishment) -> Sheet:
    """Every weigh ticket, by number."""
    rows = WeighTicket.objects.filter(establishment=establishment).select_related("scale", "by", "set_aside")
    return Sheet(
        "weigh-tickets",
        "What the scales said, ticket by ticket; one that was set aside says nothing any more.",
        (
            *columns(
                ("ticket", "its number"), ("container", "what was weighed"), ("scale", "on which scale")
            ),
            *weighed("gross", "what the scale showed"),
            *columns(
                ("division_g", "the scale's step, g"),
                ("style", "bare, with tap …"),
                ("origin", "weighed, or taken from the label"),
                ("set_aside", "yes or no"),
                ("signed_by", "who"),
                ("signed_at", "when, on the shop's clock"),
                ("put_right", "what it should have said, by the newest correction slip; empty when none did"),
            ),
        ),
        (
            (
                one.number,
                one.container_id,
                one.scale.code,
                one.reading_text,
                one.reading_unit,
                one.gross,
                one.division,
                one.style,
                one.origin,
                hasattr(one, "set_aside"),
                one.by.name,
                clock(establishment, one.at),
                next((f"{right.reading}, {right.slip}" for right in reversed(one.put_right.all())), None),
            )
            for one in rows.order_by("number").prefetch_related("put_right").iterator(chunk_size=500)
        ),
    )


def counts_sheet(establishment: Establishment) -> Sheet:
    """Every count, container by container."""
    rows = CountLine.objects.filter(count__establishment=establishment).select_related(
        "count__by", "container"
    )
    return Sheet(
        "counts",
        "Counts of the cabinet, one row for each container asked for.",
        columns(
            ("count", "its number in the order of signing"),
            ("on", "day"),
            ("opening", "yes for the first count of a cabinet in use"),
            ("container", "asked for"),
            ("refrigerant", "of it"),
            ("how", "sealed by its label, weighed, or missing"),
            ("expected_g", "by the book, g, exact"),
            ("found_g", "g, exact"),
            ("difference_g", "found less expected, g, exact"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.count_id,
                one.count.on,
                one.count.opening,
                one.container_id,
                one.container.refrigerant_id,
                one.how,
                one.expected,
                one.found,
                one.difference,
                one.count.by.name,
                clock(establishment, one.count.at),
            )
            for one in rows.order_by("pk").iterator()
        ),
    )


def book_sheet(establishment: Establishment) -> Sheet:
    """The refrigerant book, oldest first."""
    rows = Movement.objects.filter(establishment=establishment).select_related("entry__by").order_by("pk")
    return Sheet(
        "book",
        "The refrigerant book, one row for each movement. A place holds the sum of what arrived less what left.",
        columns(
            ("movement", "its number in the book's order"),
            ("entry", "movements of one event have the same"),
            ("on", "day"),
            ("refrigerant", "what moved"),
            ("purpose", "why"),
            ("source", "place that it left"),
            ("source_kind", "kind of that place"),
            ("target", "place where it arrived"),
            ("target_kind", "kind of that place"),
            ("mass_g", "how much, g, exact"),
            ("text", "of the entry"),
            ("reverses", "the entry that this one undoes"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
        ),
        (
            (
                one.pk,
                one.entry_id,
                one.on,
                one.refrigerant_id,
                one.purpose,
                one.source_id,
                one.source_kind,
                one.target_id,
                one.target_kind,
                one.mass,
                one.entry.text,
                one.entry.reverses_id,
                one.entry.by.name,
                clock(establishment, one.entry.at),
            )
            for one in rows.iterator()
        ),
    )
