"""Spots, and moves between them: one gives it off, one has it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.db import transaction

from inventory.models import Container, Move, MoveArrived, Spot
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.models import Establishment, Person

MOST = 200


@dataclass(frozen=True, slots=True)
class MoveIn:
    """Containers that go to a spot. ``at_once``: the one who moves them puts them down there too."""

    containers: Sequence[Container]
    to: Spot
    at_once: bool = False


@transaction.atomic
def add_spot(name: str, kind: str, establishment: Establishment, *, at: datetime, by: Person) -> Spot:
    """Name a spot where containers stand."""
    name, found = " ".join(name.split()), []
    if not name:
        found.append(blocked("spot-empty", "Type what the shop calls this spot.", "name"))
    if Spot.objects.filter(establishment=establishment, name__iexact=name).exists():
        found.append(blocked("spot-known", f"{name} is already on the list.", "name"))
    refuse_if_blocked(found)
    return Spot.objects.create(establishment=establishment, name=name, kind=kind, at=at, by=by)


@transaction.atomic
def move_containers(move: MoveIn, *, at: datetime, by: Person) -> tuple[Move, ...]:
    """Give containers off for a spot. They are on the way until ``confirm_arrival``; with ``at_once`` they are there.

    Raises ``Refused`` for a container that is out of use, already there or already on the way.
    """
    codes = [one.pk for one in move.containers]
    # The rows are taken in order, so that two people moving one container are served one after the other.
    locked = list(Container.objects.filter(pk__in=codes).order_by("pk").select_for_update(no_key=True))
    refuse_if_blocked(_move_problems(move, locked))
    made = tuple(Move.objects.create(container=one, to=move.to, at=at, by=by) for one in locked)
    if move.at_once:
        for one in made:
            MoveArrived.objects.create(move=one, at=at, by=by)
    return made


def _move_problems(move: MoveIn, containers: Sequence[Container]) -> list[Finding]:
    if not containers:
        return [blocked("move-empty", "Scan or tick at least one container.", "containers")]
    if len(containers) > MOST:
        return [blocked("move-absurd", f"{MOST} containers at a time at most.", "containers")]
    found = []
    for one in containers:
        last = one.moves.select_related("to", "arrived", "by").order_by("-pk").first()
        if hasattr(one, "fate"):
            sentence = f"{one.code} is out of use ({one.fate.get_what_display().lower()})."
            found.append(blocked("out-of-use", sentence, "containers"))
        elif last is not None and not hasattr(last, "arrived"):
            sentence = (
                f"{one.code} is on the way to {last.to} since {last.by.first_name} gave it off. Say there that it"
                " arrived, then move it on."
            )
            found.append(blocked("on-the-way", sentence, "containers"))
        elif last is not None and last.to_id == move.to.pk:
            found.append(blocked("already-there", f"{one.code} is in {move.to} already.", "containers"))
    return found


@transaction.atomic
def confirm_arrival(move: Move, *, at: datetime, by: Person) -> MoveArrived:
    """Say that a container which was on the way has arrived."""
    Container.objects.select_for_update(no_key=True).get(pk=move.container_id)
    if MoveArrived.objects.filter(move=move).exists():
        sentence = f"{move.container_id} has arrived in {move.to} already."
        refuse_if_blocked([blocked("arrived-already", sentence)])
    return MoveArrived.objects.create(move=move, at=at, by=by)
