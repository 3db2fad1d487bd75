"""What stands in the cabinet as sheets: containers, weigh tickets, counts, and the refrigerant book."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TypeVar

from django.db.models import QuerySet

from inventory.models import Container, CountLeftOut, CountLine, Hold, Movement, WeighTicket
from inventory.queries import containers, doubts, off_by
from shop.core.period import Period
from shop.core.sheet import Sheet, Value, columns, weighed
from shop.models import Establishment
from shop.sheets import clock

Line = TypeVar("Line", CountLine, CountLeftOut)
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
                ("disposed", "how an empty was disposed of"),
                ("on_hold", "why, while it is on hold"),
                ("found", "accepted or not, of a can that was found without a number"),
            ),
        ),
        _containers(establishment),
    )


def _containers(establishment: Establishment) -> Rows:
    rows = containers(establishment).select_related(
        "can__type", "delivered__line__delivery", "fate", "disposal", "found__accepted"
    )
    held = dict(
        Hold.objects.filter(container__establishment=establishment, end=None).values_list("container", "why")
    )
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
            one.disposal.how if hasattr(one, "disposal") else None,
            held.get(one.pk),
            _found(one),
        )


def _found(one: Container) -> str | None:
    if not hasattr(one, "found"):
        return None
    return "accepted" if hasattr(one.found, "accepted") else "not accepted"


def tickets_sheet(establishment: Establishment) -> Sheet:
    """Every weigh ticket, by number."""
    rows = WeighTicket.objects.filter(establishment=establishment).select_related("scale", "by", "set_aside")
    open_doubts = doubts(establishment)
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
                ("entered", "typed, or from which scale it was taken"),
                ("scale_line", "what that scale sent, as it came; empty when a hand typed the reading"),
                ("set_aside", "yes or no"),
                ("signed_by", "who"),
                ("signed_at", "when, on the shop's clock"),
                (
                    "scale_in_doubt_g",
                    "how far off its scale may have been, g, while nobody has decided about that",
                ),
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
                one.entered,
                one.scale_line or None,
                hasattr(one, "set_aside"),
                one.by.name,
                clock(establishment, one.at),
                off_by(open_doubts, one),
                next((f"{right.reading}, {right.slip}" for right in reversed(one.put_right.all())), None),
            )
            for one in rows.order_by("number").prefetch_related("put_right").iterator(chunk_size=500)
        ),
    )


def counts_sheet(establishment: Establishment) -> Sheet:
    """Every count, container by container, those that were left out with why."""
    return Sheet(
        "counts",
        "Counts of the cabinet, one row for each container asked for, and for each that was left out.",
        columns(
            ("count", "its number in the order of signing"),
            ("on", "day"),
            ("opening", "yes for the first count of a cabinet in use"),
            ("container", "asked for"),
            ("refrigerant", "of it"),
            ("how", "sealed by its label, weighed, at its last ticket, missing, or left out"),
            ("expected_g", "by the book, g, exact"),
            ("found_g", "g, exact"),
            ("difference_g", "found less expected, g, exact"),
            ("shell_basis", "how the empty shell of a weighed can was known: estimated, weighed or learned"),
            ("shell_doubt_g", "give or take, g"),
            ("signed_by", "who"),
            ("signed_at", "when, on the shop's clock"),
            ("why", "it was left out"),
        ),
        _count_rows(establishment),
    )


def _count_rows(establishment: Establishment) -> Rows:
    kin = ("count__by", "container")
    for one in _of(establishment, CountLine).select_related(*kin).order_by("pk").iterator():
        masses = (one.expected, one.found, one.difference)
        shell = (one.shell_basis, one.shell_doubt_g if one.shell_basis else None)
        signed = (one.count.by.name, clock(establishment, one.count.at))
        yield (*_counted(one), one.how, *masses, *shell, *signed, None)
    for out in _of(establishment, CountLeftOut).select_related(*kin).order_by("pk").iterator():
        signed = (out.count.by.name, clock(establishment, out.count.at))
        yield (*_counted(out), "left out", None, None, None, "", None, *signed, out.why)


def _of(establishment: Establishment, model: type[Line]) -> QuerySet[Line]:
    return model._default_manager.filter(count__establishment=establishment)


def _counted(one: CountLine | CountLeftOut) -> tuple[Value, ...]:
    count = one.count
    return (one.count_id, count.on, count.opening, one.container_id, one.container.refrigerant_id)


def book_sheet(establishment: Establishment, period: Period | None = None) -> Sheet:
    """The refrigerant book, or what it moved in a period, oldest first."""
    rows = Movement.objects.filter(establishment=establishment).select_related("entry__by").order_by("pk")
    if period is not None:
        rows = rows.filter(on__range=(period.first, period.last))
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
