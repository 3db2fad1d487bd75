"""From the rows of a visit to the facts of its slip."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings

from compliance.core.visit_slip import CopyLine, OwedLine, ShownLine, VisitFacts
from compliance.models import Visit
from compliance.queries.certificate_facts import shop_facts
from compliance.queries.facts import local


def visit_facts(visit: Visit, *, at: datetime) -> VisitFacts:
    """What a slip says now; one that has ended says the same for ever."""
    house = visit.establishment
    end = getattr(visit, "end", None)

    def on_the_clock(instant: datetime) -> str:
        return local(house, instant).isoformat(timespec="minutes")

    return VisitFacts(
        number=visit.number,
        made_at=on_the_clock(at),
        shop=shop_facts(house),
        name=visit.name,
        agency=visit.agency,
        credentials=visit.credentials,
        why=visit.why,
        host=visit.host.name,
        came_at=on_the_clock(visit.at),
        ended_at=on_the_clock(end.at) if end else "",
        note=end.note if end else "",
        shown=tuple(
            ShownLine(on_the_clock(one.at), one.what, one.by.name, one.by_pass) for one in visit.shown.all()
        ),
        copies=tuple(
            CopyLine(on_the_clock(one.at), one.what, one.pages or 0, one.by.name)
            for one in visit.copies.all()
        ),
        owed=tuple(OwedLine(one.question, one.due.isoformat(), one.by.name) for one in visit.questions.all()),
        practice=settings.PRACTICE,
    )
