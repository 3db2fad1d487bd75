"""Reads about what stands in the cabinet."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from functools import cache

from django.db.models import (
    Case,
    Exists,
    ExpressionWrapper,
    F,
    OuterRef,
    QuerySet,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from inventory.core.ledger import PlaceKind
from inventory.models import (
    Container,
    ContainerType,
    CountLine,
    FoundCan,
    Hold,
    KeptForNext,
    LotNote,
    Movement,
    SpokenFor,
    TicketPutRight,
    WeighTicket,
)
from inventory.queries.put_right import as_put_right
from shop.core.mass import ZERO, Mass, total
from shop.fields import MassField
from shop.models import Equipment, Establishment


def _sum_of(side: str, **when: date) -> Coalesce:
    rows = Movement.objects.filter(**{side: OuterRef("pk")}, **when).order_by().values(side)
    return Coalesce(
        Subquery(rows.annotate(moved=Sum("mass")).values("moved"), output_field=MassField()),
        Value(ZERO, output_field=MassField()),
    )


def _last(field: str) -> Subquery:
    tickets = WeighTicket.objects.filter(container=OuterRef("pk"), set_aside=None).order_by("-number")
    return Subquery(tickets.values(field)[:1])


def _last_said(field: str) -> Coalesce:
    """The same of what a correction slip may have put right."""
    newest = WeighTicket.objects.filter(container=OuterRef(OuterRef("pk")), set_aside=None).order_by(
        "-number"
    )
    right = TicketPutRight.objects.filter(ticket=Subquery(newest.values("pk")[:1])).order_by("-pk")
    return Coalesce(Subquery(right.values(field)[:1]), _last(field))


def lot_as_known() -> Coalesce:
    """For ``annotate``: the lot of a can by the newest record of it, else as it came (``Container.lot_now`` in SQL)."""
    newest = LotNote.objects.filter(container=OuterRef("pk")).order_by("-pk")
    return Coalesce(Subquery(newest.values("lot")[:1]), F("lot"))


def _on_an_estimate() -> Subquery:
    """How many grams either way the shell may be off on which a container's last count rests; 0 when
    that shell was weighed, or none was needed."""
    estimated = When(shell_basis=ContainerType.Basis.ESTIMATED, then=F("shell_doubt_g"))
    lines = CountLine.objects.filter(container=OuterRef("pk")).order_by("-pk")
    return Subquery(lines.values_list(Case(estimated, default=0))[:1])


@cache
def all_containers() -> QuerySet[Container]:
    """The containers of every shop as ``containers`` tells them. A question is put together once and asked often: of
    reading one can by its number, putting these subqueries together anew was the greater part."""
    return Container.objects.annotate(  # type: ignore[no-redef]
        book=ExpressionWrapper(_sum_of("target") - _sum_of("source"), output_field=MassField()),
        last_text=_last_said("reading_text"),
        last_unit=_last_said("reading_unit"),
        last_gross=_last_said("gross"),
        last_division=_last("division"),
        known_lot=lot_as_known(),
        shell_doubt_g=_on_an_estimate(),
        waits_for=Subquery(SpokenFor.objects.filter(container=OuterRef("pk")).values("holder")[:1]),
    )


def containers(establishment: Establishment) -> QuerySet[Container]:
    """Every container with ``book`` (what the book says it holds) and its last weigh ticket's text."""
    return all_containers().filter(establishment=establishment)


def held_on(establishment: Establishment, day: date) -> QuerySet[Container]:
    """The containers in which the book had something at the end of a day, with ``held_then``."""
    held = ExpressionWrapper(
        _sum_of("target", on__lte=day) - _sum_of("source", on__lte=day), output_field=MassField()
    )
    mine = Container.objects.filter(establishment=establishment, came_on__lte=day)
    then: QuerySet[Container] = mine.annotate(held_then=held)  # type: ignore[no-redef]
    return then.filter(held_then__gt=ZERO)  # type: ignore[misc]


def with_standing(rows: QuerySet[Container]) -> QuerySet[Container]:
    """The same containers with how the last count that asked for each found it (``last_counted``), why it is on hold,
    who kept it for the next job since it was last weighed, and whether it was found and is not accepted."""
    last_count = CountLine.objects.filter(container=OuterRef("pk")).order_by("-pk")
    tickets = WeighTicket.objects.filter(container=OuterRef("container"), set_aside=None).order_by("-number")
    kept = KeptForNext.objects.filter(container=OuterRef("pk"), ticket=Subquery(tickets.values("pk")[:1]))
    return rows.annotate(  # type: ignore[no-redef]
        last_counted=Subquery(last_count.values("how")[:1]),
        held_why=Subquery(Hold.objects.filter(container=OuterRef("pk"), end=None).values("why")[:1]),
        kept_by=Subquery(kept.values("by__name")[:1]),
        unaccepted=Exists(FoundCan.objects.filter(container=OuterRef("pk"), accepted=None)),
    )


@cache
def _all_in_use() -> QuerySet[Container]:
    here = all_containers().filter(fate=None).select_related("can__type", "cylinder", "mixed")
    return with_standing(here)


def in_the_cabinet(establishment: Establishment) -> QuerySet[Container]:
    """Containers whose use has not ended, as ``with_standing`` tells them."""
    return _all_in_use().filter(establishment=establishment)


@dataclass(frozen=True, slots=True)
class Shelf:
    """What is there of one refrigerant: cans new, cylinders recovered. Open means weighed at least once; ``missing``
    cans are those that the last count looked for and did not find."""

    refrigerant: str
    sealed: int
    open: int
    cans: tuple[Container, ...]
    cylinders: tuple[Container, ...]
    missing: tuple[Container, ...] = ()

    @property
    def opened(self) -> tuple[Container, ...]:
        return tuple(can for can in self.cans if can.last_text is not None)

    @property
    def unopened(self) -> tuple[Container, ...]:
        return tuple(can for can in self.cans if can.last_text is None)

    @property
    def in_cans(self) -> Mass:
        return total(can.book for can in self.cans)

    @property
    def doubt_g(self) -> int:
        """How far the sum may be off by shells that were only estimated: each is wrong in the same direction."""
        return sum(can.shell_doubt_g or 0 for can in self.cans)

    @property
    def in_cylinders(self) -> Mass:
        return total(cylinder.book for cylinder in self.cylinders)


def shelves(establishment: Establishment) -> list[Shelf]:
    """The cabinet by refrigerant."""
    by_refrigerant: dict[str, list[Container]] = {}
    for container in in_the_cabinet(establishment).order_by("refrigerant_id", "place_id"):
        by_refrigerant.setdefault(container.refrigerant_id, []).append(container)
    return [_shelf(refrigerant, rows) for refrigerant, rows in by_refrigerant.items()]


def _shelf(refrigerant: str, rows: list[Container]) -> Shelf:
    all_cans = [row for row in rows if row.kind == PlaceKind.CAN]
    missing = tuple(can for can in all_cans if can.last_counted == CountLine.How.MISSING)
    cans = tuple(can for can in all_cans if can not in missing)
    sealed = sum(1 for can in cans if can.last_text is None)
    cylinders = tuple(row for row in rows if row.kind == PlaceKind.CYLINDER)
    return Shelf(refrigerant, sealed, len(cans) - sealed, cans, cylinders, missing)


def usable_cans(establishment: Establishment, refrigerant: str) -> QuerySet[Container]:
    """Cans of one refrigerant that may go on a car: open ones first, then the oldest delivery."""
    cans = in_the_cabinet(establishment).filter(kind=PlaceKind.CAN, refrigerant=refrigerant)
    held = cans.filter(book__gt=ZERO, held_why=None, unaccepted=False)  # type: ignore[misc]
    return held.order_by(Case(When(last_text=None, then=1), default=0), "came_on", "place_id")


def likely_swaps(establishment: Establishment, code: str) -> QuerySet[Container]:
    """Which cans may have been used in the place of this one: of its refrigerant, the open ones first."""
    can = Container.objects.filter(establishment=establishment, pk=code, kind=PlaceKind.CAN).first()
    if can is None:
        return Container.objects.none()
    return usable_cans(establishment, can.refrigerant_id).exclude(pk=code)[:8]


def usual_scale(establishment: Establishment, kind: str) -> Equipment | None:
    """The scale that a container of this kind was last weighed on."""
    tickets = WeighTicket.objects.filter(establishment=establishment, container__kind=kind)
    last = tickets.select_related("scale").order_by("-number").first()
    return None if last is None else last.scale


def last_tickets(containers: Sequence[Container]) -> dict[str, WeighTicket]:
    """The newest ticket that still speaks of each container, by its number; none for one that was never weighed."""
    rows = WeighTicket.objects.filter(container__in=containers, set_aside=None).select_related("scale")
    newest = {ticket.container_id: ticket for ticket in rows.order_by("number")}
    as_put_right(list(newest.values()))
    return newest


def last_ticket(container: Container) -> WeighTicket | None:
    """The newest ticket that still speaks of this container."""
    newest = WeighTicket.objects.filter(container=container, set_aside=None).order_by("-number").first()
    as_put_right([newest] if newest is not None else [])
    return newest
