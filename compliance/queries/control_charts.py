"""Streams of closures for the control charts, from weigh tickets and checks as they are."""

from __future__ import annotations

from collections import defaultdict
from datetime import datetime
from typing import NamedTuple
from zoneinfo import ZoneInfo

from django.db.models import F, Max, OuterRef, QuerySet, Subquery
from django.db.models.functions import Coalesce

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
from inventory.core.difference import Closure, can_closure, shelf_continuity
from inventory.core.weighing import Origin
from inventory.models import LotNote
from shop.core.decision import u_resolution
from shop.core.mass import Mass
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
        keys = [
            ((SCALE, row.scale, what), row.scale),
            ((TECHNICIAN, row.username, what), row.name),
            *([((LOT, row.lot, what), row.lot)] if row.lot else []),
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


class Weighed(NamedTuple):
    """One weighing of a can on a job, as far as a chart asks."""

    job: int
    code: str
    sealed: bool
    emptied: bool
    gross: Mass
    division: Mass
    style: str
    scale: str
    net: Mass
    username: str
    name: str
    at: datetime
    number: int
    lot: str


COLUMNS = (
    "job",
    "ticket__container",
    "sealed",
    "emptied",
    "ticket__gross",
    "ticket__division",
    "ticket__style",
    "ticket__scale__code",
    "ticket__container__can__type__net",
    "by__username",
    "by__name",
    "ticket__at",
    "ticket__number",
    "lot",
)


def _rows(establishment: Establishment) -> list[Weighed]:
    """The newest weighings of cans on jobs that hold and were really weighed, by ticket."""
    rows = CanTicket.objects.filter(
        job__establishment=establishment, retyped=None, ticket__set_aside=None, ticket__origin=Origin.WEIGHED
    )
    notes = LotNote.objects.filter(container=OuterRef("ticket__container")).order_by("-pk")
    lot = Coalesce(Subquery(notes.values("lot")[:1]), F("ticket__container__lot"))
    newest = rows.annotate(lot=lot).order_by("-ticket__number").values_list(*COLUMNS)[:LOOKED_BACK]
    return [Weighed(*row) for row in reversed(newest)]


def _closures(establishment: Establishment) -> list[tuple[Weighed, str, Value]]:
    """(the weighing that ends it, which closure, its value). Two readings are compared on one scale and style only;
    what an emptied can gave, with what usually stays in one."""
    found: list[tuple[Weighed, str, Value]] = []
    emptied: list[tuple[Weighed, Closure]] = []
    last: dict[str, Weighed] = {}
    sealed: dict[str, Weighed] = {}
    zone = ZoneInfo(establishment.time_zone)
    for row in _rows(establishment):
        earlier, first = last.get(row.code), sealed.get(row.code)
        if earlier is not None and earlier.job != row.job and _alike(earlier, row):
            closure = shelf_continuity(earlier.gross.grams, row.gross.grams, row.division.grams)
            found.append((row, SHELF, _value(zone, row, closure)))
        if row.emptied and first is not None and _alike(first, row):
            gross, empty = first.gross.grams, row.gross.grams
            emptied.append((row, can_closure(gross, empty, row.net.grams, row.division.grams)))
        if row.sealed:
            sealed[row.code] = row
        last[row.code] = row
    usual = usual_heel([closure.residual_g for _, closure in emptied])
    found += [(row, CAN, _value(zone, row, closure, usual, row.net.grams)) for row, closure in emptied]
    return found


def _alike(one: Weighed, other: Weighed) -> bool:
    return one.scale == other.scale and one.style == other.style


def _value(zone: ZoneInfo, row: Weighed, closure: Closure, usual: float = 0.0, of_g: float = 0.0) -> Value:
    return Value(row.at.astimezone(zone).date(), row.number, closure.residual_g - usual, closure.u_g, of_g)
