"""The job sheet: everything about one job, read once, used by its pages, its closing and its papers."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

from django.db.models import Prefetch

from compliance.core.stages import LeakResult, Outcome, StageKind
from compliance.models import (
    CanTicket,
    Charge,
    CheckIn,
    Job,
    Label,
    LeakCheck,
    LightCan,
    Mischarge,
    OnTheCar,
    PackChoice,
    Recovery,
    Retyping,
    Stage,
)
from compliance.queries.corrections import put_right
from inventory.core.weighing_rules import FROST
from inventory.models import Container, Movement, WeighTicket
from inventory.queries import as_put_right
from shop.core.house import HouseRules
from shop.core.mass import ZERO, Mass, grams, total
from shop.models import Authorisation
from shop.queries import rules_on

DETAILS = (
    "checkin__refrigerant",
    "label",
    "recovery__machine",
    "recovery__cylinder__cylinder",
    "recovery__cylinder__mixed",
    "recovery__before",
    "recovery__after",
    "leakcheck",
    "evacuation",
    "leaktest",
    "charge",
    "finalreadings",
    "hold",
    "retrofit",
    "uncertified",
    "sent_later",
)


LEFT_BEHIND = grams(10)  # what a recovery may leave of a wrong can's mass; the tool's own choice


@dataclass(frozen=True)
class CanOnJob:
    """One can of a job: its tickets that hold, in order, and what was known of it before the job."""

    container: Container
    tickets: tuple[CanTicket, ...]
    previous: WeighTicket | None
    book: Mass  # less what other open jobs have drawn from it
    hanging: bool

    @property
    def before(self) -> CanTicket:
        return self.tickets[0]

    @property
    def after(self) -> CanTicket | None:
        return self.tickets[-1] if len(self.tickets) > 1 else None

    @property
    def emptied(self) -> bool:
        return self.tickets[-1].emptied

    @property
    def lost_between(self) -> Mass:
        """What it lost between coming off the car and being taken up again, frost left out."""
        gaps = (
            earlier.ticket.gross - later.ticket.gross
            for earlier, later in pairwise(self.tickets)
            if later.moment == CanTicket.Moment.BEFORE
        )
        return total(gap for gap in gaps if gap > FROST)

    @property
    def lost_waiting(self) -> Mass:
        """The same, of what it gave at all: a leaking tap, not a charge."""
        drawn = self.before.ticket.gross - self.tickets[-1].ticket.gross
        return min(self.lost_between, max(drawn, ZERO))

    @property
    def light(self) -> LightCan | None:
        """Why it was light when its seal was broken, if it was."""
        return getattr(self.before, "light", None)

    @property
    def lacked(self) -> Mass:
        """By how much less than a full can it weighed then."""
        kind = self.container.can.type
        return max(kind.net + kind.shell - self.before.ticket.gross, ZERO) if self.light else ZERO

    @property
    def expected_g(self) -> Mass:
        """What the scale should show now: the last ticket."""
        return self.tickets[-1].ticket.gross


@dataclass(frozen=True)
class Sheet:
    job: Job
    written: tuple[Stage, ...]  # the version that holds of every stage and turn, in the order of writing
    cans: tuple[CanOnJob, ...]
    mischarges: tuple[Mischarge, ...]
    rules: HouseRules
    own_weighings: frozenset[int]  # those that whoever signed the charge took, before any slip

    def of(self, kind: StageKind) -> list[Stage]:
        """The passes of one kind of stage, first to last."""
        return sorted((stage for stage in self.written if stage.kind == kind), key=lambda stage: stage.turn)

    def last(self, kind: StageKind) -> Stage | None:
        passes = self.of(kind)
        return passes[-1] if passes else None

    @cached_property
    def check_in(self) -> CheckIn:
        stage = self.last(StageKind.CHECK_IN)
        assert stage is not None  # noqa: S101 - a job is made by its check-in
        return stage.checkin

    @property
    def label(self) -> Label | None:
        return getattr(self.check_in.stage, "label", None)

    @cached_property
    def pack_choice(self) -> PackChoice | None:
        """Which state and local packs the owner had chosen for the job's day."""
        return PackChoice.objects.on(self.job.establishment, self.job.on)

    @property
    def refrigerant(self) -> str:
        return self.check_in.refrigerant_id

    @property
    def recoveries(self) -> list[Recovery]:
        done = [stage for stage in self.of(StageKind.RECOVERY) if stage.outcome == Outcome.DONE]
        return [stage.recovery for stage in done]

    @property
    def leak_checks(self) -> list[LeakCheck]:
        done = [stage for stage in self.of(StageKind.LEAK_CHECK) if stage.outcome == Outcome.DONE]
        return [stage.leakcheck for stage in done]

    @property
    def leak_open(self) -> LeakCheck | None:
        """The last leak check, when it found a leak that was neither repaired since nor looked for again."""
        checks = self.leak_checks
        if not checks or checks[-1].result != LeakResult.FOUND:
            return None
        repair = self.last(StageKind.REPAIR)
        repaired = repair is not None and repair.outcome == Outcome.DONE and repair.at >= checks[-1].stage.at
        return None if repaired else checks[-1]

    @property
    def mischarge_open(self) -> Mischarge | None:
        """A wrong can that went in and was not yet taken out again and evacuated."""
        for wrong in self.mischarges[-1:]:
            out = [one for one in self.recoveries if one.before.number > wrong.after.number]
            taken = total(one.after.gross - one.before.gross for one in out)
            went_in = wrong.before.gross - wrong.after.gross
            pumped = [one for one in self.of(StageKind.EVACUATION) if one.outcome == Outcome.DONE]
            if taken + LEFT_BEHIND < went_in or not any(one.at >= out[-1].stage.at for one in pumped):
                return wrong
        return None

    @property
    def charge(self) -> Charge | None:
        stage = self.last(StageKind.CHARGE)
        return stage.charge if stage is not None and stage.outcome == Outcome.DONE else None


def job_sheet(job: Job) -> Sheet:
    """Read one job whole, as its correction slips put it right: stages, tickets, books and rules, in a fixed number of
    queries."""
    authorised = Prefetch("by__authorisations", queryset=Authorisation.objects.select_related("end"))
    stages = Stage.objects.filter(job=job).select_related("by", *DETAILS).order_by("pk")
    stages = stages.prefetch_related("by__cards", authorised)
    wrong = Mischarge.objects.filter(job=job).select_related("container", "before", "after", "by")
    rules = rules_on(job.establishment, job.on)
    written, cans = tuple(_holding(stages)), tuple(_cans(job))
    sheet = Sheet(job, written, cans, tuple(wrong), rules, _own_weighings(written, cans))
    put_right(sheet)
    return sheet


def _own_weighings(written: Iterable[Stage], cans: Iterable[CanOnJob]) -> frozenset[int]:
    """Weighings by the hand that charged: of whoever signed the charge, or of whoever did it without a card."""
    rows = [row for can in cans for row in can.tickets]
    for stage in written:
        if stage.kind == StageKind.CHARGE:
            bare = hasattr(stage, "uncertified") or any(row.hands for row in rows)
            return frozenset(row.pk for row in rows if (row.hands if bare else row.by_id == stage.by_id))
    return frozenset()


def _holding(stages: Iterable[Stage]) -> list[Stage]:
    newest: dict[tuple[str, int], Stage] = {}
    for stage in stages:
        held = newest.get((stage.kind, stage.turn))
        if held is None or stage.version > held.version:
            newest[stage.kind, stage.turn] = stage
    return list(newest.values())


def _cans(job: Job) -> list[CanOnJob]:
    rows = CanTicket.objects.filter(job=job).select_related(
        "ticket__container__can__type",
        "ticket__container__on_the_car",
        "ticket__scale",
        "by",
        "light",
        "sent_later",
    )
    rows = rows.prefetch_related("ticket__container__lots")
    tickets = _standing(list(rows))
    by_can: dict[str, list[CanTicket]] = {}
    for row in tickets:
        by_can.setdefault(row.ticket.container_id, []).append(row)
    if not by_can:
        return []
    books = Movement.objects.balances(list(by_can))
    for code, drawn in drawn_by_others(job, list(by_can)).items():
        books[code] -= drawn
    previous = _previous(by_can)
    return [
        CanOnJob(mine[0].ticket.container, tuple(mine), previous.get(code), books[code], _hangs(mine[0], job))
        for code, mine in by_can.items()
    ]


def drawn_by_others(job: Job, codes: list[str]) -> dict[str, Mass]:
    """What other jobs that are still open have drawn from these cans: gone from the can, not yet from the book."""
    others = CanTicket.objects.filter(ticket__container__in=codes, job__closing=None).exclude(job=job)
    rows = _standing(list(others.select_related("ticket")))
    ends: dict[tuple[int, str], tuple[Mass, Mass]] = {}
    for row in rows:
        key = (row.job_id, row.ticket.container_id)
        first, _ = ends.get(key, (row.ticket.gross, row.ticket.gross))
        ends[key] = (first, row.ticket.gross)
    drawn: dict[str, Mass] = {}
    for (_, code), (first, last) in ends.items():
        drawn[code] = drawn.get(code, ZERO) + (first - last)
    return drawn


def _hangs(row: CanTicket, job: Job) -> bool:
    claim: OnTheCar | None = getattr(row.ticket.container, "on_the_car", None)
    return claim is not None and claim.job_id == job.pk


def _standing(rows: list[CanTicket]) -> list[CanTicket]:
    """The tickets that hold: a retyped one gives its place in the order to what it was retyped as."""
    answers = dict(Retyping.objects.filter(old__in=rows).values_list("old_id", "new_id")) if rows else {}
    by_pk = {row.pk: row for row in rows}
    replacing = set(answers.values())
    held = []
    for row in rows:
        if row.pk in replacing:
            continue
        standing: CanTicket | None = row
        while standing is not None and standing.pk in answers:
            standing = by_pk.get(answers[standing.pk])  # none: its tickets moved to another can
        if standing is not None:
            held.append(standing)
    return held


def _previous(by_can: dict[str, list[CanTicket]]) -> dict[str, WeighTicket]:
    earlier: dict[str, WeighTicket] = {}
    first = {code: min(row.ticket.number for row in rows) for code, rows in by_can.items()}
    tickets = WeighTicket.objects.filter(
        container__in=list(by_can), on_job__retyped=None, set_aside=None
    ).order_by("number")
    for ticket in tickets:
        if ticket.number < first[ticket.container_id]:
            earlier[ticket.container_id] = ticket
    as_put_right(earlier.values())
    return earlier
