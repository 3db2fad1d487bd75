"""The count of a cabinet while jobs are open: containers that wait for a closing are counted at their last ticket."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime

from django.db import transaction

from compliance.models import Job
from compliance.queries.waiting import waiting_for_jobs
from inventory.models import Count, CountLine, SpokenFor
from inventory.services import CountIn, record_count
from shop.models import Establishment, Person


@transaction.atomic
def count_cabinet(count: CountIn, establishment: Establishment, *, at: datetime, by: Person) -> Count:
    """``record_count``, with what the closing of open jobs will move in each container counted at its last ticket.

    The jobs are held first, so that nobody weighs on them or closes one between the reading and the writing.
    """
    asked = [one.container for one in count.counted if one.how == CountLine.How.LAST_TICKET]
    if asked:
        holders = SpokenFor.objects.filter(container__in=asked).values_list("holder", flat=True)
        jobs = Job.objects.at_shop(establishment).filter(number__in=list(holders)).order_by("pk")
        list(jobs.select_for_update(no_key=True, of=("self",)))
        now = waiting_for_jobs(establishment)
        counted = [
            replace(one, waiting=now.get(one.container.code)) if one.how == CountLine.How.LAST_TICKET else one
            for one in count.counted
        ]
        count = replace(count, counted=counted)
    return record_count(count, establishment, at=at, by=by)
