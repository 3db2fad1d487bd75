"""The facts of a period between two counts of one refrigerant, read in a fixed number of queries."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cached_property

from django.db.models import Max, Q

from compliance.models import CanTicket
from inventory.core.suspect_facts import DrawFacts, HangingFacts, LabelWeightFacts, LineFacts, PairFacts
from inventory.core.weighing import Origin
from inventory.core.weighing_rules import LABEL_FILL_SPREAD_G
from inventory.models import Count, CountLine, WeighTicket
from inventory.queries import count_before
from shop.core.decision import combined, u_rectangular
from shop.core.house import HouseRules
from shop.core.mass import ZERO
from shop.queries import rules_on

ON_A_JOB = ("on_job", "recovery_before", "recovery_after")


@dataclass(frozen=True, slots=True)
class Draw:
    """What one can gave on one job by its first and last ticket in the period."""

    first: WeighTicket
    last: WeighTicket

    @property
    def grams(self) -> float:
        return self.first.gross.grams - self.last.gross.grams


@dataclass
class Reading:
    """One count and refrigerant, with what was written down since the count before."""

    count: Count
    refrigerant: str

    @cached_property
    def before(self) -> Count | None:
        return count_before(self.count, self.refrigerant)

    @cached_property
    def rules(self) -> HouseRules:
        return rules_on(self.count.establishment, self.count.on)

    @cached_property
    def lines(self) -> list[CountLine]:
        rows = self.count.lines.filter(container__refrigerant=self.refrigerant)
        return list(rows.select_related("container__can__type", "container__cylinder"))

    @cached_property
    def tickets(self) -> list[WeighTicket]:
        """Every ticket of the period that holds, by number, those of the count at its end."""
        rows = WeighTicket.objects.filter(
            establishment=self.count.establishment_id,
            container__refrigerant=self.refrigerant,
            at__lte=self.count.at,
            set_aside=None,
            on_job__retyped=None,
        )
        if self.before is not None:
            rows = rows.filter(at__gt=self.before.at)
        kin = ("scale", "container__can__type", "on_job__job")
        recovery = ("recovery_before__stage__job", "recovery_after__stage__job")
        return list(rows.select_related(*kin, *recovery).order_by("number"))

    @cached_property
    def older(self) -> dict[str, WeighTicket]:
        """The last ticket before the period of every container that was weighed in it or counted at its end."""
        codes = {ticket.container_id for ticket in self.tickets} | {line.container_id for line in self.lines}
        rows = WeighTicket.objects.filter(container__in=codes, set_aside=None, on_job__retyped=None)
        rows = rows.filter(at__lte=self.before.at) if self.before else rows.none()
        newest = rows.order_by().values("container").annotate(newest=Max("number")).values("newest")
        mine = WeighTicket.objects.filter(establishment=self.count.establishment_id, number__in=newest)
        return {ticket.container_id: ticket for ticket in mine}

    @cached_property
    def draws(self) -> list[Draw]:
        by_job: dict[tuple[int, str], list[WeighTicket]] = {}
        for ticket in self.tickets:
            if hasattr(ticket, "on_job"):
                by_job.setdefault((ticket.on_job.job_id, ticket.container_id), []).append(ticket)
        return [Draw(mine[0], mine[-1]) for mine in by_job.values() if len(mine) > 1]

    @cached_property
    def known(self) -> set[str]:
        """Containers that an earlier count weighed."""
        codes = [line.container_id for line in self.lines]
        rows = CountLine.objects.filter(
            container__in=codes, count__lt=self.count.pk, how=CountLine.How.WEIGHED
        )
        return set(rows.values_list("container", flat=True))

    @cached_property
    def of_the_count(self) -> set[int]:
        """The tickets that the count itself wrote: of each container it weighed the last one that no job wrote."""
        weighed = {line.container_id for line in self.lines if line.how == CountLine.How.WEIGHED}
        last = {
            ticket.container_id: ticket.pk
            for ticket in self.tickets
            if ticket.container_id in weighed and not any(hasattr(ticket, name) for name in ON_A_JOB)
        }
        return set(last.values())

    def is_counts(self, ticket: WeighTicket) -> bool:
        return ticket.pk in self.of_the_count

    @cached_property
    def opened(self) -> set[str]:
        """Cans that were weighed for the first time in this period."""
        return {one.container_id for one in self.tickets if one.container.kind == "can"} - set(self.older)


def line_facts(read: Reading) -> tuple[LineFacts, ...]:
    on_jobs = {ticket.container_id for ticket in read.tickets if hasattr(ticket, "on_job")}
    last = dict(read.older)
    steps: dict[str, float] = {}
    for ticket in read.tickets:
        if read.is_counts(ticket):
            steps[ticket.container_id] = ticket.division.grams
        else:
            last[ticket.container_id] = ticket
    made = []
    for line in read.lines:
        container = line.container
        spread = float(container.can.type.shell_spread_g) if container.kind == "can" else 0.0
        earlier = last.get(container.pk)
        made.append(
            LineFacts(
                container.pk,
                container.kind,
                line.how,
                line.expected,
                line.found,
                division_g=steps.get(container.pk, 1.0),
                shell_spread_g=spread,
                ticketed=container.pk in on_jobs,
                known=container.pk in read.known,
                last="–" if earlier is None else f"{earlier.reading} ({earlier.number})",
            )
        )
    return tuple(made)


def pair_facts(read: Reading) -> tuple[PairFacts, ...]:
    """Each ticket of the period beside the one before it of the same container."""
    made = []
    last = {code: ticket.gross for code, ticket in read.older.items()}
    for ticket in read.tickets:
        earlier = last.get(ticket.container_id)
        role, where = _role(read, ticket)
        if earlier is not None and role:
            kind = ticket.container.kind
            made.append(
                PairFacts(ticket.container_id, kind, earlier, ticket.gross, str(ticket.reading), role, where)
            )
        last[ticket.container_id] = ticket.gross
    return tuple(made)


def _role(read: Reading, ticket: WeighTicket) -> tuple[str, str]:
    if hasattr(ticket, "on_job"):
        moment = ticket.on_job.moment
        return ("before" if moment == CanTicket.Moment.BEFORE else "after"), ticket.on_job.job.number
    for role in ("before", "after"):
        if hasattr(ticket, f"recovery_{role}"):
            return role, getattr(ticket, f"recovery_{role}").stage.job.number
    return ("count", "") if read.is_counts(ticket) else ("", "")


def draw_facts(read: Reading) -> tuple[DrawFacts, ...]:
    return tuple(
        DrawFacts(draw.last.container_id, draw.last.on_job.job.number, draw.first.gross - draw.last.gross)
        for draw in read.draws
        if draw.first.gross > draw.last.gross
    )


def hanging_facts(read: Reading) -> tuple[HangingFacts, ...]:
    """Cans that hung on a car when the cabinet was counted."""
    at = read.count.at
    rows = CanTicket.objects.filter(
        Q(job__closing=None) | Q(job__closing__at__gt=at),
        job__establishment=read.count.establishment_id,
        ticket__container__refrigerant=read.refrigerant,
        ticket__at__lte=at,
        retyped=None,
    ).select_related("ticket__container__can__type", "job")
    last = {(row.job_id, row.ticket.container_id): row for row in rows.order_by("ticket__number")}
    counted = {line.container_id for line in read.lines}
    made = []
    for row in last.values():
        container = row.ticket.container
        if row.moment != CanTicket.Moment.AFTER:
            could = max(row.ticket.gross - container.can.type.shell, ZERO)
            made.append(HangingFacts(container.pk, row.job.number, could, container.pk in counted))
    return tuple(made)


def label_weight_facts(read: Reading) -> tuple[LabelWeightFacts, ...]:
    by_job: dict[str, list[float]] = {}
    for ticket in read.tickets:
        if hasattr(ticket, "on_job") and ticket.origin == Origin.LABEL:
            spread = float(ticket.container.can.type.shell_spread_g)
            u = combined(LABEL_FILL_SPREAD_G, u_rectangular(spread))
            by_job.setdefault(ticket.on_job.job.number, []).append(u)
    return tuple(LabelWeightFacts(job, len(us), math.hypot(*us)) for job, us in by_job.items())
