"""What the check of the inspection binder asks the records, in a fixed number of queries."""

from __future__ import annotations

from datetime import date

from compliance.core.binder_check import CheckFacts, CheckLine, check_lines
from compliance.models import Correction, Job
from compliance.queries.packs import rules_asked
from compliance.queries.people import stages_of_days, work_days
from compliance.queries.statements import MachineLine, overview
from inventory.core.ledger import Purpose
from inventory.core.weighing import Origin
from inventory.models import Count, Delivery, Movement, Shipment, WeighTicket
from shop.core.period import Period
from shop.models import Card, Establishment, Person
from shop.queries import last_backup_trial


def binder_check(establishment: Establishment, period: Period, *, today: date) -> tuple[CheckLine, ...]:
    """The lines of the check for a range of days, as the records stand now."""
    return check_lines(check_facts(establishment, period, today=today))


def check_facts(establishment: Establishment, period: Period, *, today: date) -> CheckFacts:
    days = (period.first, period.last)
    stages = work_days(establishment, *days)
    machines = [one for one in overview(establishment, period.last).machines if one.in_service]
    sent = Shipment.objects.filter(establishment=establishment, on__range=days)
    tickets = WeighTicket.objects.filter(
        establishment=establishment, at__range=period.instants(establishment.time_zone)
    )
    tickets = tickets.filter(set_aside=None)
    bought = Delivery.objects.filter(establishment=establishment, on__range=days, undone=None)
    counts = Count.objects.filter(establishment=establishment, on__range=days)
    last_count = counts.order_by("on").values_list("on", flat=True).last()
    waiting = Job.objects.at_shop(establishment).open().filter(on__range=days, on__lt=today)
    released = Movement.objects.filter(
        establishment=establishment, on__range=days, purpose=Purpose.RELEASED.value
    )
    rules, trial = rules_asked(establishment, period.last), last_backup_trial(establishment)
    return CheckFacts(
        named=bool(establishment.legal_name.strip()),
        addressed=bool(establishment.address.strip()),
        doers=stages.doers,
        stages=stages.stages,
        uncovered=stages.lacking,
        without_image=tuple(_without_image(establishment, period)),
        machines=len(machines),
        unstated=tuple(one.machine.code for one in machines if one.signed is None and not one.earlier),
        unsent=tuple(one.machine.code for one in machines if one.signed and not one.signed.sent),
        unproven=tuple(one.machine.code for one in machines if _unproven(one)),
        facilities=sent.values("facility").distinct().count(),
        shipments=sent.count(),
        without_receipt=tuple(sent.filter(receipt=None).order_by("pk").values_list("number", flat=True)),
        closed=Job.objects.at_shop(establishment).filter(closing__on__range=days).count(),
        open_jobs=tuple(waiting.order_by("pk").values_list("number", flat=True)),
        tickets=tickets.count(),
        unweighed=tickets.exclude(origin=Origin.WEIGHED.value).count(),
        purchases=bought.count(),
        without_invoice=tuple(bought.filter(invoices=None).order_by("pk").values_list("number", flat=True)),
        counts=counts.count(),
        days_since_count=(period.last - last_count).days if last_count else None,
        corrections=Correction.objects.filter(establishment=establishment, closing__on__range=days).count(),
        releases=released.values("entry").distinct().count(),
        pack_chosen=bool(rules.state),
        packs=rules.names,
        days_since_trial=(today - trial.on).days if trial else None,
        trial_whole=trial.whole if trial else False,
    )


def _unproven(line: MachineLine) -> bool:
    return line.signed is not None and line.signed.sent is not None and not line.signed.proven


def _without_image(establishment: Establishment, period: Period) -> list[str]:
    """Who did a refrigerant stage in these days and has no card with a readable copy."""
    mine = stages_of_days(establishment, period.first, period.last).filter(bare="").order_by()
    doers = set(mine.values_list("doer", flat=True).distinct())
    shown = {one.person_id for one in Card.objects.filter(person__in=doers) if one.pictured}
    return sorted(one.name for one in Person.objects.filter(pk__in=doers - shown))
