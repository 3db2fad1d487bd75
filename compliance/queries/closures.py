"""The four independent closures of a period, from rows. None of them is made to balance by a plug."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Sequence

from compliance.core.usage_report_facts import ClosureLine
from compliance.models import CanTicket
from compliance.queries.booked import booked_for
from inventory.core.difference import Closure, can_closure, count_closure, job_closure, shelf_continuity
from inventory.models import CountLine
from inventory.queries import as_put_right
from shop.core.period import Period
from shop.models import Establishment


def closures(establishment: Establishment, period: Period, gases: Sequence[str]) -> tuple[ClosureLine, ...]:
    """Count, shelf, can and job closure for each refrigerant, each summed over its cases."""
    return tuple(
        line
        for gas in gases
        for line in (
            _summed("count", gas, _counted(establishment, period, gas)),
            _summed("shelf", gas, _shelved(establishment, period, gas)),
            _summed("can", gas, _emptied(establishment, period, gas)),
            _summed("job", gas, _jobs(establishment, period, gas)),
        )
    )


def _summed(name: str, gas: str, cases: Iterable[Closure]) -> ClosureLine:
    cases = list(cases)
    residual = sum(case.residual_g for case in cases)
    u = sum(case.u_g**2 for case in cases) ** 0.5
    looks_at = cases[0].looks_at if cases else "nothing to compare in this period"
    return ClosureLine(name, gas, len(cases), round(residual * 1e6), round(u * 1e6), looks_at)


def _counted(establishment: Establishment, period: Period, gas: str) -> list[Closure]:
    """Sealed cans that the book expected against those found, at each count."""
    lines = CountLine.objects.filter(
        count__establishment=establishment,
        count__on__range=(period.first, period.last),
        count__opening=False,
        container__refrigerant=gas,
        container__kind="can",
    ).select_related("container__can__type")
    by_count: dict[int, list[CountLine]] = {}
    for line in lines:
        by_count.setdefault(line.count_id, []).append(line)
    found = []
    for mine in by_count.values():
        sealed = [line for line in mine if line.expected == line.container.can.type.net]
        missing = Counter(line.how for line in sealed)[CountLine.How.MISSING]
        net = mine[0].container.can.type.net.grams
        found.append(count_closure(len(sealed), len(sealed) - missing, net))
    return found


def _tickets(establishment: Establishment, period: Period, gas: str) -> list[CanTicket]:
    rows = CanTicket.objects.filter(
        job__establishment=establishment,
        job__closing__on__range=(period.first, period.last),
        ticket__container__refrigerant=gas,
        retyped=None,
    ).select_related("ticket__container__can__type", "job")
    found = list(rows.order_by("ticket__number"))
    as_put_right(row.ticket for row in found)
    return found


def _shelved(establishment: Establishment, period: Period, gas: str) -> list[Closure]:
    """A can's first weight on a job against its last on the job before: what it lost on the shelf."""
    found: list[Closure] = []
    last: dict[str, CanTicket] = {}
    for row in _tickets(establishment, period, gas):
        earlier = last.get(row.ticket.container_id)
        if earlier is not None and earlier.job_id != row.job_id:
            found.append(
                shelf_continuity(
                    earlier.ticket.gross.grams, row.ticket.gross.grams, row.ticket.division.grams
                )
            )
        last[row.ticket.container_id] = row
    return found


def _emptied(establishment: Establishment, period: Period, gas: str) -> list[Closure]:
    """A can's sealed weight less its empty one against its label."""
    first: dict[str, CanTicket] = {}
    found = []
    for row in _tickets(establishment, period, gas):
        code = row.ticket.container_id
        if row.sealed:
            first[code] = row
        if row.emptied and code in first:
            kind = row.ticket.container.can.type
            found.append(
                can_closure(
                    first[code].ticket.gross.grams,
                    row.ticket.gross.grams,
                    kind.net.grams,
                    row.ticket.division.grams,
                )
            )
    return found


def _jobs(establishment: Establishment, period: Period, gas: str) -> list[Closure]:
    """What the book says went out of a job's cans against the difference of their tickets."""
    rows = _tickets(establishment, period, gas)
    weighed: dict[int, dict[str, list[CanTicket]]] = {}
    for row in rows:
        weighed.setdefault(row.job_id, {}).setdefault(row.ticket.container_id, []).append(row)
    booked: dict[int, float] = {}
    outside = ("vehicles", "hoses", "air", "cylinder")
    for one in booked_for(list(weighed)):
        if one.source == "can" and one.target in outside:
            booked[one.job] = booked.get(one.job, 0.0) + one.mass.grams
        if one.target == "can" and one.source in outside:
            booked[one.job] = booked.get(one.job, 0.0) - one.mass.grams
    return [
        job_closure(
            booked.get(job, 0.0),
            sum(mine[0].ticket.gross.grams - mine[-1].ticket.gross.grams for mine in cans.values()),
            max(mine[0].ticket.division.grams for mine in cans.values()),
            len(cans),
        )
        for job, cans in weighed.items()
    ]
