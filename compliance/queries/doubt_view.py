"""A check that a scale did not pass, with every weigh ticket it puts in doubt and where each was used."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from django.db.models import QuerySet

from compliance.models import Job
from inventory.models import DoubtSettled, WeighTicket
from inventory.queries import Doubt, doubts, tickets_in_doubt
from shop.core.mass import ZERO
from shop.models import Establishment

SHOWN = 200


@dataclass(frozen=True)
class DoubtView:
    """What the page says of it."""

    doubt: Doubt
    tickets: tuple[WeighTicket, ...]

    @cached_property
    def settled(self) -> DoubtSettled | None:
        return getattr(self.doubt.check, "settled", None)

    @property
    def shown(self) -> tuple[WeighTicket, ...]:
        return self.tickets[:SHOWN]

    @cached_property
    def containers(self) -> list[str]:
        return sorted({ticket.container_id for ticket in self.tickets})

    @cached_property
    def jobs(self) -> list[str]:
        return sorted({job.number for ticket in self.tickets if (job := job_of(ticket)) is not None})

    @property
    def percent(self) -> float | None:
        """The error in percent of the known weight, for the case that the scale is off in proportion."""
        check = self.doubt.check
        return 100 * self.doubt.off.grams / check.known.grams if check.known > ZERO else None


def job_of(ticket: WeighTicket) -> Job | None:
    """The job that a ticket was written on."""
    if hasattr(ticket, "on_job"):
        return ticket.on_job.job
    for role in ("recovery_before", "recovery_after"):
        if hasattr(ticket, role):
            found: Job = getattr(ticket, role).stage.job
            return found
    return None


def doubt_of(establishment: Establishment, check: int) -> DoubtView | None:
    """The doubt that a failed check made, decided or not; None when it made none."""
    found = next((one for one in doubts(establishment, settled=True) if one.check.pk == check), None)
    return None if found is None else DoubtView(found, tuple(_with_jobs(tickets_in_doubt(found))))


def _with_jobs(tickets: QuerySet[WeighTicket]) -> QuerySet[WeighTicket]:
    recovery = ("recovery_before__stage__job", "recovery_after__stage__job")
    return tickets.select_related("on_job__job", *recovery)
