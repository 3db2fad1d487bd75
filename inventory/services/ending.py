"""How a can's use ends here: emptied and disposed of, kept for the next job instead, or lost."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from inventory.core.ending import disposal_legs, heel_of
from inventory.core.ledger import Leg, Purpose
from inventory.core.weighing import Style
from inventory.models import Container, CountLine, Disposal, Fate, KeptForNext, Movement
from inventory.posting import post
from inventory.queries import last_ticket
from inventory.services.holds import ended_already, not_to_be_used, waits_already, why_problems
from inventory.services.stocking import end_use
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.mass import ZERO, Mass, Unit, grams
from shop.core.phrase import phrase
from shop.models import Person
from shop.queries import rules_on

MOST = 200


@dataclass(frozen=True, slots=True)
class DisposalIn:
    """How they were disposed of, marked empty."""

    how: str
    note: str = ""


@transaction.atomic
def dispose_of(
    cans: Sequence[Container], disposal: DisposalIn, *, on: date, at: datetime, by: Person
) -> tuple[Disposal, ...]:
    """Mark cans empty and disposed of, several at once. What the book still has of each is brought to nothing.

    Refused for a sealed can, one whose last weight was not bare, and one with more left in it than the shop's limit:
    that is recovered and weighed, or kept for the next job.
    """
    codes = [one.pk for one in cans]
    held = list(
        Container.objects.filter(pk__in=codes).order_by("pk").select_for_update(no_key=True, of=("self",))
    )
    refuse_if_blocked([*_said(disposal, held), *(one for can in held for one in disposal_problems(can, on))])
    return tuple(_disposed(can, disposal, on, at, by) for can in held)


def _disposed(can: Container, disposal: DisposalIn, on: date, at: datetime, by: Person) -> Disposal:
    entry = None
    if not hasattr(can, "fate"):
        book, last, kind = _book(can), last_ticket(can), can.can.type
        assert last is not None  # noqa: S101 - disposal_problems has refused it
        spread = grams(kind.shell_spread_g)
        legs = disposal_legs(can.code, book=book, heel=heel_of(last.gross, kind.shell), spread=spread)
        if legs:
            entry = post(can.establishment, legs, on=on, text=f"{can.code} disposed of", at=at, by=by)
        end_use(can, Fate.What.EMPTIED, why="disposed of", at=at, by=by)
    return Disposal.objects.create(
        container=can, how=disposal.how, note=disposal.note.strip(), entry=entry, at=at, by=by
    )


def _said(disposal: DisposalIn, cans: Sequence[Container]) -> list[Finding]:
    found = []
    if not cans:
        found.append(blocked("dispose-none", phrase("Tick at least one can."), "cans"))
    if len(cans) > MOST:
        found.append(blocked("dispose-absurd", phrase("{most} cans at a time at most.", most=MOST), "cans"))
    if disposal.how not in Disposal.How.values:
        found.append(blocked("dispose-how", phrase("Choose how it was disposed of."), "how"))
    if disposal.how == Disposal.How.OTHER and len(disposal.note.strip()) < 3:
        found.append(blocked("dispose-note", phrase("Say in a few words how it was disposed of."), "why"))
    return found


def disposal_problems(can: Container, on: date) -> list[Finding]:
    """Why this can is not disposed of now."""
    if can.kind != "can":
        return [
            blocked("dispose-cylinder", phrase("A cylinder is refilled or shipped, not thrown away."), "cans")
        ]
    if hasattr(can, "disposal"):
        return [blocked("disposed", phrase("{can} is disposed of already.", can=can.code), "cans")]
    if hasattr(can, "fate"):
        return [] if can.fate.what == Fate.What.EMPTIED else ended_already(can)
    found = [*waits_already(can), *not_to_be_used(can, "cans")]
    last = last_ticket(can)
    if last is None:
        return [*found, blocked("can-sealed", phrase("{can} was never opened.", can=can.code), "cans")]
    if last.style != Style.BARE:
        sentence = phrase("{can} was last weighed with something on it. Weigh it bare first.", can=can.code)
        return [*found, blocked("not-bare", sentence, "cans")]
    left = max(heel_of(last.gross, can.can.type.shell), _book(can))
    limit = grams(rules_on(can.establishment, on).heel_limit_g)
    if left > limit:
        sentence = phrase(
            "{can} still has {left} g in it, more than the shop's limit of {limit} g for a heel. Recover and weigh"
            " it, or keep it for the next job.",
            can=can.code,
            left=left.rounded(Unit.G, 0),
            limit=limit.rounded(Unit.G, 0),
        )
        found.append(blocked("heel-over-limit", sentence, "cans"))
    return found


def _book(container: Container) -> Mass:
    return Movement.objects.balances([container.pk])[container.pk]


@transaction.atomic
def keep_for_next(can: Container, *, at: datetime, by: Person) -> KeptForNext:
    """What is left in an open can is kept for the next job. It holds until the can is weighed again."""
    Container.objects.select_for_update(no_key=True, of=("self",)).get(pk=can.pk)
    refuse_if_blocked(keeping_problems(can))
    last = last_ticket(can)
    assert last is not None  # noqa: S101 - keeping_problems has refused it
    return KeptForNext.objects.create(container=can, ticket=last, at=at, by=by)


def keeping_problems(can: Container) -> list[Finding]:
    """Why this can is not kept for the next job."""
    found = [*ended_already(can), *waits_already(can), *not_to_be_used(can, "")]
    last = last_ticket(can)
    if can.kind != "can":
        found.append(blocked("keep-cylinder", phrase("Only what is left in a can is kept for a job.")))
    elif last is None:
        found.append(blocked("keep-sealed", phrase("{can} is sealed: it is whole.", can=can.code)))
    elif _book(can) <= ZERO:
        found.append(blocked("keep-nothing", phrase("{can} holds nothing by the book.", can=can.code)))
    if last is not None and hasattr(last, "kept"):
        found.append(
            blocked("kept-already", phrase("{by} kept it for the next job already.", by=last.kept.by.name))
        )
    return found


@transaction.atomic
def say_lost(container: Container, *, why: str, on: date, at: datetime, by: Person) -> Fate:
    """The owner says that a container which was looked for and not found is lost. What its count has not booked yet is
    booked as a difference."""
    Container.objects.select_for_update(no_key=True, of=("self",)).get(pk=container.pk)
    refuse_if_blocked([*losing_problems(container, by), *why_problems(why)])
    book = _book(container)
    if book > ZERO:
        legs = [Leg(container.code, "unexplained", book, Purpose.COUNTED)]
        post(container.establishment, legs, on=on, text=f"{container.code} lost", at=at, by=by)
    return end_use(container, Fate.What.LOST, why=why.strip(), at=at, by=by)


def losing_problems(container: Container, by: Person) -> list[Finding]:
    """Why this container is not said to be lost now."""
    found = [*ended_already(container), *waits_already(container)]
    if not by.is_owner:
        found.append(blocked("lost-owner", phrase("Only the owner says that a container is lost.")))
    if not_found_at(container) == 0:
        sentence = phrase("The last count did not miss {container}. Count first.", container=container.code)
        found.append(blocked("lost-uncounted", sentence))
    return found


def not_found_at(container: Container) -> int:
    """At how many counts, one after the other up to the last one that asked, it was not found."""
    hows = CountLine.objects.filter(container=container).order_by("-pk").values_list("how", flat=True)
    number = 0
    for how in hows:
        if how != CountLine.How.MISSING:
            break
        number += 1
    return number
