"""People who stood as doer of refrigerant stages, leavers too, and whether a card was in force on those days."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from django.db.models import Case, Count, Exists, Max, Min, OuterRef, Q, QuerySet, Value, When

from compliance.core.stages import NEED_A_CARD, Outcome
from compliance.models import HandOver, Job, Stage
from compliance.queries.doers import with_doer
from compliance.queries.facts import local
from shop.core.standing import Standing
from shop.models import Card, Establishment, Person
from shop.queries import people, turning_days_of, work_day

if TYPE_CHECKING:
    from compliance.queries.doers import DoneStage

MOST_SHOWN = 100  # stages that no card covers, on one page; the sheet has all of them


@dataclass(frozen=True, slots=True)
class Doer:
    """One person: what they may do today, and which jobs stand on their cards."""

    person: Person
    standing: Standing
    jobs: int = 0
    stages: int = 0
    first: Job | None = None
    last: Job | None = None

    @property
    def may_stand(self) -> bool:
        return self.person.is_active and self.standing.in_force


@dataclass(frozen=True, slots=True)
class SignedStage:
    """A refrigerant stage with the answer for its day. ``card`` is the row behind the answer, whether it covers that
    day or was issued later; ``uncertified`` names whoever did it without a card."""

    stage: Stage
    day: date
    standing: Standing
    card: Card | None
    uncertified: str = ""

    @property
    def covered(self) -> bool:
        return not self.uncertified and self.standing.in_force

    @property
    def filed_later(self) -> bool:
        """The card was in force that day and was put on file only afterwards."""
        return self.covered and self.card is not None and self.card.at > self.stage.at


@dataclass(frozen=True, slots=True)
class WorkDays:
    """All refrigerant stages of a period against the cards: how many, by how many people, and how many of them no card
    covers; ``without`` are the newest of those."""

    stages: int
    doers: int
    cards: int
    lacking: int
    without: tuple[SignedStage, ...]

    @property
    def covered(self) -> int:
        return self.stages - self.lacking


def refrigerant_stages(establishment: Establishment) -> QuerySet[DoneStage]:
    """Stages that need a card and were done, each as it holds: the highest version of its turn, with who did it."""
    newer = Stage.objects.filter(
        job=OuterRef("job"), kind=OuterRef("kind"), turn=OuterRef("turn"), version__gt=OuterRef("version")
    )
    rows = Stage.objects.filter(job__establishment=establishment, kind__in=NEED_A_CARD, outcome=Outcome.DONE)
    return with_doer(rows.exclude(Exists(newer)))


def doers(establishment: Establishment, day: date) -> list[Doer]:
    """Everybody of the shop, in a fixed number of queries."""
    mine = refrigerant_stages(establishment).filter(bare="").order_by()
    sums = {
        row["doer"]: row
        for row in mine.values("doer").annotate(
            jobs=Count("job", distinct=True), stages=Count("pk"), first=Min("job"), last=Max("job")
        )
    }
    jobs = Job.objects.in_bulk({row[end] for row in sums.values() for end in ("first", "last")})
    found = []
    for person in people(establishment):
        row, answer = sums.get(person.pk), work_day(person, day)
        if row is None:
            found.append(Doer(person, answer))
        else:
            ends = jobs[row["first"]], jobs[row["last"]]
            found.append(Doer(person, answer, row["jobs"], row["stages"], *ends))
    return found


def stages_of_days(establishment: Establishment, first: date, last: date) -> QuerySet[DoneStage]:
    """The refrigerant stages signed from one day to another on the shop's own clock, newest first."""
    ends = _begins(establishment, last + timedelta(days=1))
    rows = refrigerant_stages(establishment).filter(at__gte=_begins(establishment, first), at__lt=ends)
    return rows.order_by("-pk")


def _begins(establishment: Establishment, day: date) -> datetime:
    """The instant at which a day begins on the shop's own clock."""
    return datetime.combine(day, time.min, ZoneInfo(establishment.time_zone))


def work_days(establishment: Establishment, first: date, last: date) -> WorkDays:
    """Counted in one query, by person and stretch of days: from one day on which somebody's answer may become another
    one to the next, everybody's is the same. (A day for each stage would be reckoned by SQLite row by row.)"""
    known = {person.pk: person for person in people(establishment)}
    turns = {day for person in known.values() for day in turning_days_of(person) if first < day <= last}
    days = [first, *sorted(turns)]
    later = [When(at__lt=_begins(establishment, day), then=Value(n)) for n, day in enumerate(days[1:])]
    rows = stages_of_days(establishment, first, last)
    rows = rows.annotate(stretch=Case(*later, default=Value(len(days) - 1)))
    bare = Count("pk", filter=~Q(bare=""))
    sums = rows.order_by().values("doer", "stretch").annotate(all=Count("pk"), without=bare)
    stages, lacking, names, cards = 0, 0, set(), set()
    no = ~Q(bare="")
    for row in sums:
        answer = work_day(known[row["doer"]], days[row["stretch"]])
        stages += row["all"]
        lacking += row["without"] if answer.in_force else row["all"]
        if row["without"] < row["all"]:
            names.add(row["doer"])
            cards |= {(answer.card.program, answer.card.number)} if answer.card is not None else set()
        if not answer.in_force:
            no |= Q(doer=row["doer"], stretch=row["stretch"])
    shown = tuple(signed(establishment, rows.filter(no)[:MOST_SHOWN])) if lacking else ()
    return WorkDays(stages, len(names), len(cards), lacking, shown)


def signed(
    establishment: Establishment, stages: QuerySet[DoneStage] | Iterable[DoneStage]
) -> Iterator[SignedStage]:
    """These refrigerant stages with their answers; a page of them costs no more queries than one."""
    if isinstance(stages, QuerySet):
        stages = stages.select_related("job__vehicle")
    known = {person.pk: person for person in people(establishment)}
    for stage in stages:
        person, day = known[stage.doer], local(establishment, stage.at).date()
        answer = work_day(person, day)
        yield SignedStage(stage, day, answer, _card_behind(person, answer), stage.bare)


def _card_behind(person: Person, answer: Standing) -> Card | None:
    cards = list(person.cards.all())
    if answer.card is None:
        return cards[0] if cards else None
    same = (one for one in cards if (one.program, one.number) == (answer.card.program, answer.card.number))
    return next(same, None)


def open_jobs_of(person: Person) -> list[Job]:
    """Open jobs that are in this person's hands: handed to them last, or else last signed by them."""
    mine = []
    jobs = Job.objects.at_shop(person.establishment).open()
    handed = {
        one.job_id: one.to_id
        for one in HandOver.objects.filter(job__closing=None, job__in=jobs).order_by("pk")
    }
    newest = Stage.objects.filter(job__in=jobs).order_by("pk").values_list("job", "by")
    signed_last = dict(newest)
    for job in jobs:
        if handed.get(job.pk, signed_last.get(job.pk, job.by_id)) == person.pk:
            mine.append(job)
    return mine
