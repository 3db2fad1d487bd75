"""Reads about where containers stand."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import OuterRef, QuerySet, Subquery

from inventory.models import Container, Move, Spot
from shop.models import Establishment


@dataclass(frozen=True, slots=True)
class Where:
    """Where a container stands by its last move; ``on_the_way`` until the other end has it."""

    move: Move

    @property
    def on_the_way(self) -> bool:
        return not hasattr(self.move, "arrived")

    @property
    def spot(self) -> Spot:
        return self.move.to


def spots(establishment: Establishment) -> QuerySet[Spot]:
    return Spot.objects.filter(establishment=establishment)


def where(container: Container) -> Where | None:
    """None: it never moved, so it stands where deliveries are put."""
    last = container.moves.select_related("to", "arrived", "by").order_by("-pk").first()
    return None if last is None else Where(last)


def with_spot(rows: QuerySet[Container]) -> QuerySet[Container]:
    """The same containers with ``spot``, the name of where each was moved last (None: it never moved), and ``arrived``,
    None while it is on the way there."""
    moves = Move.objects.filter(container=OuterRef("pk")).order_by("-pk")
    return rows.annotate(  # type: ignore[no-redef]
        spot=Subquery(moves.values("to__name")[:1]), arrived=Subquery(moves.values("arrived__pk")[:1])
    )


def last_moves(establishment: Establishment) -> QuerySet[Move]:
    """The last move of every container that is in use."""
    newest = Move.objects.filter(container=OuterRef("container")).order_by("-pk").values("pk")[:1]
    rows = Move.objects.filter(container__establishment=establishment, container__fate=None)
    return rows.filter(pk=Subquery(newest)).select_related("to", "arrived", "by", "container")


def on_the_way(establishment: Establishment) -> QuerySet[Move]:
    """Moves that nobody at the other end has confirmed, oldest first."""
    return last_moves(establishment).filter(arrived=None).order_by("pk")


def stands_in(establishment: Establishment) -> dict[str, Where]:
    """Where every container that ever moved stands, by its code."""
    return {move.container_id: Where(move) for move in last_moves(establishment)}


def spot_names(establishment: Establishment) -> dict[str, str]:
    """The name of the spot that each container stands in, for those that ever moved."""
    places = stands_in(establishment).items()
    return {
        code: f"on the way to {where.spot}" if where.on_the_way else str(where.spot) for code, where in places
    }


def by_spot(establishment: Establishment, containers: Iterable[Container]) -> dict[str, list[Container]]:
    """Containers by the name of the spot they stand in; "" for those that never moved."""
    names = spot_names(establishment)
    groups: dict[str, list[Container]] = {}
    for one in containers:
        groups.setdefault(names.get(one.pk, ""), []).append(one)
    return groups
