"""Visits: who came and what they saw. Everything is a row of its own; an ended visit takes no more."""

from __future__ import annotations

import secrets
from dataclasses import dataclass
from datetime import date, datetime

from django.db import transaction

from compliance.core.visit_slip import visit_slip
from compliance.models import (
    Visit,
    VisitCopy,
    VisitEnd,
    VisitPass,
    VisitPassEnd,
    VisitQuestion,
    VisitShown,
)
from compliance.pdf.drawing import draw
from compliance.queries.visit_slips import visit_facts
from shop.core.canonical import sha256
from shop.core.findings import Finding, blocked, refuse_if_blocked
from shop.core.period import Period, period_problems
from shop.core.phrase import phrase
from shop.models import Establishment, Person
from shop.services import next_number

CODE_BYTES = 12  # 96 bits: nothing to guess in a day


@dataclass(frozen=True, slots=True)
class VisitIn:
    name: str
    agency: str
    credentials: bool
    why: str
    host: Person


@transaction.atomic
def open_visit(
    visit: VisitIn, establishment: Establishment, *, came_at: datetime, at: datetime, by: Person
) -> Visit:
    """Begin a visit slip. ``came_at`` is the time they came in, not later than now."""
    found = []
    for field, said, sentence in (
        ("name", visit.name, phrase("Type the visitor's name as on the credentials.")),
        ("agency", visit.agency, phrase("Type whom the visitor works for.")),
        ("why", visit.why, phrase("Type what the visitor is here for.")),
    ):
        if len(said.strip()) < 2:
            found.append(blocked(f"visit-{field}", sentence, field))
    if visit.host.establishment_id != establishment.pk:
        found.append(blocked("visit-host", phrase("Choose somebody of this shop."), "host"))
    if came_at > at:
        found.append(blocked("visit-future", phrase("The time in has not come yet."), "came_at"))
    refuse_if_blocked(found)
    number = f"V{came_at:%y}-{next_number(f'V{came_at:%y}', establishment, by=by):04d}"
    return Visit.objects.create(
        establishment=establishment,
        number=number,
        name=visit.name.strip(),
        agency=visit.agency.strip(),
        credentials=visit.credentials,
        why=visit.why.strip(),
        host=visit.host,
        at=came_at,
        by=by,
    )


@transaction.atomic
def note_shown(
    visit: Visit, what: str, *, address: str = "", by_pass: bool = False, at: datetime, by: Person
) -> VisitShown:
    """One thing was shown, or opened by the visitor."""
    refuse_if_blocked([*_over(visit), *_said(what, "what", phrase("Type what was shown."))])
    return VisitShown.objects.create(
        visit=visit, what=what.strip()[:200], address=address[:200], by_pass=by_pass, at=at, by=by
    )


@transaction.atomic
def note_copy(visit: Visit, what: str, *, pages: int | None = None, at: datetime, by: Person) -> VisitCopy:
    refuse_if_blocked([*_over(visit), *_said(what, "what", phrase("Type what was copied."))])
    return VisitCopy.objects.create(visit=visit, what=what.strip(), pages=pages, at=at, by=by)


@transaction.atomic
def owe_answer(
    visit: Visit, question: str, *, due: date, today: date, at: datetime, by: Person
) -> VisitQuestion:
    """A question that the shop answers later, and by when."""
    found = [*_over(visit), *_said(question, "question", phrase("Type the question."))]
    if due < today:
        found.append(blocked("due-past", phrase("The day of the answer is over already."), "due"))
    refuse_if_blocked(found)
    return VisitQuestion.objects.create(visit=visit, question=question.strip(), due=due, at=at, by=by)


@transaction.atomic
def end_visit(visit: Visit, *, note: str = "", at: datetime, by: Person) -> VisitEnd:
    """The visitor has gone; every pass ends too."""
    refuse_if_blocked(_over(visit))
    for one in visit.passes.filter(end=None, until__gt=at):
        VisitPassEnd.objects.create(visit_pass=one, at=at, by=by)
    return VisitEnd.objects.create(visit=visit, note=note.strip(), at=at, by=by)


@transaction.atomic
def give_pass(
    visit: Visit, period: Period, *, until: datetime, today: date, at: datetime, by: Person
) -> tuple[VisitPass, str]:
    """A pass and its code. Only the hash of the code is kept, so it is shown this once."""
    found = [*_over(visit), *period_problems(period.first, period.last, today=today)]
    if until <= at:
        found.append(blocked("pass-over", phrase("That hour is over already."), "until"))
    if (until - at).total_seconds() > 24 * 3600:
        found.append(blocked("pass-long", phrase("A pass ends within a day."), "until"))
    refuse_if_blocked(found)
    code = secrets.token_urlsafe(CODE_BYTES)
    kept = VisitPass.objects.create(
        visit=visit, digest=sha256(code), first=period.first, last=period.last, until=until, at=at, by=by
    )
    return kept, code


@transaction.atomic
def end_pass(visit_pass: VisitPass, *, at: datetime, by: Person) -> VisitPassEnd:
    if VisitPassEnd.objects.filter(visit_pass=visit_pass).exists():
        refuse_if_blocked([blocked("pass-ended", phrase("This pass has ended already."), "")])
    return VisitPassEnd.objects.create(visit_pass=visit_pass, at=at, by=by)


def _over(visit: Visit) -> list[Finding]:
    if VisitEnd.objects.filter(visit=visit).exists():
        return [
            blocked("visit-over", phrase("{visit} has ended. Begin another slip.", visit=visit.number), "")
        ]
    return []


def _said(text: str, field: str, sentence: str) -> list[Finding]:
    return [] if len(text.strip()) > 1 else [blocked(f"{field}-empty", sentence, field)]


def slip_pdf(visit: Visit, *, at: datetime) -> bytes:
    """The slip as it stands, to print. It is drawn from its rows, and nothing of the drawing is kept."""
    return draw(visit_slip(visit_facts(visit, at=at)))
