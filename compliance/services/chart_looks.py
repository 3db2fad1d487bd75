"""A look into a control chart's alarm: what was found, by whom; the chart starts anew after it."""

from __future__ import annotations

from datetime import datetime

from django.db import transaction

from compliance.core.control import Chart
from compliance.models import ChartLook
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Establishment, Person


@transaction.atomic
def record_look(
    seen: Chart, establishment: Establishment, *, found: str, at: datetime, by: Person
) -> ChartLook:
    """Say what was found. Refused when there is no alarm to look into: a quiet chart is not started anew."""
    problems = []
    if seen.alarm is None:
        problems.append(blocked("look-quiet", phrase("There is no alarm on this chart to look into."), ""))
    if len(found.strip()) < 3:
        problems.append(blocked("look-empty", phrase("Say in a few words what you found."), "found"))
    refuse_if_blocked(problems)
    stream = seen.stream
    return ChartLook.objects.create(
        establishment=establishment,
        kind=stream.kind,
        key=stream.key,
        what=stream.what,
        through=seen.through,
        found=found.strip(),
        at=at,
        by=by,
    )
