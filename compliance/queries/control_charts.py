"""Streams of closures for the control charts, from weigh tickets and checks as they are."""

from __future__ import annotations

from collections import defaultdict

from django.db.models import Max, Prefetch, QuerySet

from compliance.core.control import (
    CAN,
    CHECK,
    LOT,
    SCALE,
    SHELF,
    TECHNICIAN,
    Chart,
    Stream,
    Value,
    chart,
    usual_heel,
)
from compliance.models import CanTicket, ChartLook
from compliance.queries.facts import local
from inventory.core.difference import Closure, can_closure, shelf_continuity
from inventory.core.weighing import Origin
from inventory.models import LotNote
from shop.core.decision import u_resolution
from shop.core.roles import Role
from shop.models import Check, Equipment, Establishment, Person

LOOKED_BACK = 1000  # weighings on jobs that the charts are made of
AT_LEAST = 5  # values that a chart of a lot has; with fewer it is not worth a place on the page
Key = tuple[str, str, str]


def charts(establishment: Establishment, person: Person) -> list[Chart]:
    """All charts, those with an alarm first. A technician reads the shop's and their own, not other people's."""
    made = all_charts(establishment)
    if person.role != Role.TECHNICIAN:
        return made
    return [one for one in made if one.stream.kind != TECHNICIAN or one.stream.key == person.username]


def all_charts(establishment: Establishment) -> list[Chart]:
    looked = _looked_through(establishment)
    found = []
    for stream in _streams(establishment):
        made = chart(stream, looked.get((stream.kind, stream.key, stream.what), 0))
        if made.values and (stream.kind != LOT or made.alarm or len(stream.values) >= AT_LEAST):
            found.append(made)
    order = [SCALE, LOT, TECHNICIAN]
    return sorted(
        found,
        key=lambda one: (one.alarm is None, order.index(one.stream.kind), one.stream.shown, one.stream.what),
    )


def chart_of(establishment: Establishment, person: Person, key: Key) -> Chart | None:
    """One chart by kind, key and what."""
    return next(
        (
            one
            for one in charts(establishment, person)
            if (one.stream.kind, one.stream.key, one.stream.what) == key
        ),
        None,
    )


def looks(establishment: Establishment) -> QuerySet[ChartLook]:
    """What was found at earlier looks, newest first."""
    return ChartLook.objects.filter(establishment=establishment).select_related("by").order_by("-pk")


def _looked_through(establishment: Establishment) -> dict[Key, int]:
    rows = ChartLook.objects.filter(establishment=establishment).order_by().values_list("kind", "key", "what")
    return {(kind, key, what): through for kind, key, what, through in rows.annotate(newest=Max("through"))}


def _streams(establishment: Establishment) -> list[Stream]:
    values: dict[Key, list[Value]] = defaultdict(list)
    shown: dict[Key, str] = {}
    for row, what, value in _closures(establishment):
        lot = row.ticket.container.lot_now
        keys = [
            ((SCALE, row.ticket.scale.code, what), row.ticket.scale.code),
            ((TECHNICIAN, row.by.username, what), row.by.name),
            *([((LOT, lot, what), lot)] if lot else []),
        ]
        for key, name in keys:
            values[key].append(value)
            shown[key] = name
    for check in _checks(establishment):
        key = (SCALE, check.equipment.code, CHECK)
        u = u_resolution(check.equipment.division.grams)
        values[key].append(Value(check.on, check.pk, check.error.grams, u, check.known.grams))
        shown[key] = check.equipment.code
    return [
        Stream(kind, key, what, shown[kind, key, what], tuple(some))
        for (kind, key, what), some in values.items()
    ]


def _checks(establishment: Establishment) -> QuerySet[Check]:
    rows = Check.objects.filter(equipment__establishment=establishment, equipment__kind=Equipment.Kind.SCALE)
    return rows.filter(known__gt=0).select_related("equipment").order_by("pk")


def _rows(establishment: Establishment) -> list[CanTicket]:
    """The newest weighings of cans on jobs that hold and were really weighed, by ticket."""
    rows = CanTicket.objects.filter(
        job__establishment=establishment, retyped=None, ticket__set_aside=None, ticket__origin=Origin.WEIGHED
    )
    rows = rows.select_related("ticket__container__can__type", "ticket__scale", "by")
    lots = Prefetch("ticket__container__lots", queryset=LotNote.objects.order_by("pk"))
    newest = rows.prefetch_related(lots).order_by("-ticket__number")[:LOOKED_BACK]
    return list(reversed(newest))


def _closures(establishment: Establishment) -> list[tuple[CanTicket, str, Value]]:
    """(the ticket that ends it, which closure, its value). Two readings are compared on one scale and style only; what
    an emptied can gave, with what usually stays in one."""
    found: list[tuple[CanTicket, str, Value]] = []
    emptied: list[tuple[CanTicket, Closure, float]] = []
    last: dict[str, CanTicket] = {}
    sealed: dict[str, CanTicket] = {}
    for row in _rows(establishment):
        ticket, code = row.ticket, row.ticket.container_id
        earlier, first = last.get(code), sealed.get(code)
        if earlier is not None and earlier.job_id != row.job_id and _alike(earlier, row):
            closure = shelf_continuity(earlier.ticket.gross.grams, ticket.gross.grams, ticket.division.grams)
            found.append((row, SHELF, _value(establishment, row, closure.residual_g, closure.u_g)))
        if row.emptied and first is not None and _alike(first, row):
            net = ticket.container.can.type.net.grams
            closure = can_closure(first.ticket.gross.grams, ticket.gross.grams, net, ticket.division.grams)
            emptied.append((row, closure, net))
        if row.sealed:
            sealed[code] = row
        last[code] = row
    usual = usual_heel([closure.residual_g for _, closure, _ in emptied])
    for row, closure, net in emptied:
        value = _value(establishment, row, closure.residual_g - usual, closure.u_g, net)
        found.append((row, CAN, value))
    return found


def _alike(one: CanTicket, other: CanTicket) -> bool:
    return one.ticket.scale_id == other.ticket.scale_id and one.ticket.style == other.ticket.style


def _value(
    establishment: Establishment, row: CanTicket, residual_g: float, u_g: float, of_g: float = 0.0
) -> Value:
    return Value(local(establishment, row.ticket.at).date(), row.ticket.number, residual_g, u_g, of_g)
