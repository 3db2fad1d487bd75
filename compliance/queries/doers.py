"""Who did a stage: whoever signed it, unless a correction slip says who it was."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date
from functools import cached_property
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.db.models import BigIntegerField, Case, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce

from compliance.core.stages import NEED_A_CARD, Outcome, StageKind
from compliance.models import CanTicket, DoerPutRight, Job, Stage, UncertifiedWork
from compliance.queries.spots import Spot
from shop.core.phrase import joined, phrase
from shop.models import Person
from shop.queries import people

if TYPE_CHECKING:
    from typing import TypedDict

    from django_stubs_ext import WithAnnotations

    from compliance.queries.sheets import Sheet

    class WhoDid(TypedDict):
        doer: int
        bare: str

    DoneStage = WithAnnotations[Stage, WhoDid]


def with_doer(stages: QuerySet[Stage]) -> QuerySet[DoneStage]:
    """Each stage with ``doer``, the key of whose cards it stands on, and ``bare``, the name of who did it without a
    609 card, or "". Then ``doer`` is who wrote it down. The few that slips touched are known before any row is read."""
    touched = Q(pk__in=DoerPutRight.objects.values("field__stage"))
    newest = DoerPutRight.objects.filter(field__stage=OuterRef("pk")).order_by("-field")[:1]
    person = Coalesce(Subquery(newest.values("person")), F("by"), output_field=BigIntegerField())
    return stages.annotate(
        doer=Case(When(touched, then=person), default=F("by"), output_field=BigIntegerField()),
        bare=Case(
            When(touched, then=Subquery(newest.values("name"))),
            default=Coalesce(F("uncertified__name"), Value("")),
        ),
    )


class Roster:
    """Everybody of the shop who may stand as doer of a stage, leavers too; read when it is first asked for."""

    def __init__(self, job: Job) -> None:
        self.shop = job.establishment

    @cached_property
    def everybody(self) -> list[Person]:
        return list(people(self.shop).prefetch_related("leavings").order_by("name", "pk"))

    def answers(self, stage: Stage) -> dict[str, Person | str]:
        """How each reads on a slip: the person, or the name alone of somebody who had no card by that day."""
        day = stage.at.astimezone(ZoneInfo(self.shop.time_zone)).date()
        found: dict[str, Person | str] = {}
        for one in self.everybody:
            if _had_left(one, day):
                continue
            carded = any(card.issued_on <= day for card in one.cards.all())
            if carded or StageKind(stage.kind) not in NEED_A_CARD:
                found[_named(one)] = one
            else:
                found[_bare(one.name)] = one.name
        return found


@dataclass(frozen=True)
class DoerSpot(Spot):
    """Who did a stage; of a charge also who took those of its weighings that the same person took."""

    roster: Roster | None = None
    tickets: tuple[CanTicket, ...] = field(default=())

    @property
    def text(self) -> str:
        name = self._without_card
        return _bare(name) if name else _named(self.row.by)

    @property
    def never_empty(self) -> bool:
        return True

    @property
    def answers(self) -> tuple[str, ...]:
        return tuple(self._answers)

    @property
    def _answers(self) -> dict[str, Person | str]:
        """The shop's people, and whoever was signed for without a card: a slip too much is put right like any other."""
        if self.roster is None:
            return {}
        names = UncertifiedWork.objects.filter(stage=self.row.pk).values_list("name", flat=True)
        hands = CanTicket.objects.filter(pk__in=[one.pk for one in self.tickets]).exclude(hands="")
        signed = [*names, *hands.values_list("hands", flat=True)]
        return {_bare(name): name for name in signed} | self.roster.answers(self.row)

    @property
    def _without_card(self) -> str:
        if hasattr(self.row, "uncertified"):
            return str(self.row.uncertified.name)
        return next((one.hands for one in self.tickets if one.hands), "")

    def put(self, text: str, unit: str) -> None:
        self.stand(self._answers[text])

    def stand(self, who: Person | str) -> None:
        """Let this person stand there instead, or somebody without a card by name; in memory only."""
        for one in self.tickets:
            if isinstance(who, Person):
                one.by, one.hands = who, ""
            else:
                one.hands = who
        if isinstance(who, Person):
            self.row.by = who
            Stage._meta.get_field("uncertified").set_cached_value(self.row, None)
        else:
            self.row.uncertified = UncertifiedWork(name=who)

    def stands(self) -> tuple[Person | None, str]:
        """Who stands there now: the person, or nobody and a name."""
        name = self._without_card
        return (None, name) if name else (self.row.by, "")


def doer_spots(sheet: Sheet) -> Iterator[DoerSpot]:
    """Who did each stage that was done; a car is checked in by who signs it."""
    roster = Roster(sheet.job)
    rows = (row for can in sheet.cans for row in can.tickets)
    weighed = tuple(row for row in rows if row.pk in sheet.own_weighings)
    for stage in sheet.written:
        kind = StageKind(stage.kind)
        if kind is StageKind.CHECK_IN or stage.outcome != Outcome.DONE:
            continue
        again = "" if stage.turn == 1 else phrase(", time {place}", place=stage.turn)
        group, charged = joined("", [kind.label, again]), kind is StageKind.CHARGE
        yield DoerSpot(
            f"{stage.kind}-{stage.turn}-by", group, phrase("Done by"), "choice", stage, "by", 140, stage,
            roster=roster, tickets=weighed if charged else (),
        )  # fmt: skip


def is_told(doer: DoerPutRight | None, said: str) -> bool:
    """Whether this is whom a slip names. A name may be spelled anew since; a sign-on name never changes."""
    if doer is None or doer.person is None:
        return doer is not None and said == _bare(doer.name)
    return said.endswith(f"({doer.person.username})")


def _had_left(person: Person, day: date) -> bool:
    """Whether this leaver's last day was over by then. Whoever came back has a sign-on without an end."""
    if person.is_active and person.leaves_on is None:
        return False
    last = [one.last_day for one in person.leavings.all()][-1:]
    return bool(last) and last[0] < day


def _named(person: Person) -> str:
    return f"{person.name} ({person.username})"


def _bare(name: str) -> str:
    return phrase("{name} (no 609 card)", name=name)
