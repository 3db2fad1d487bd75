"""The case file of a job: numbered, chained, drawn once from what stood in the records then."""

from __future__ import annotations

from datetime import date, datetime

from django.db import transaction

from compliance.core.case_file import case_file
from compliance.core.paper import Picture
from compliance.models import CaseFile, Closing, Document, Job
from compliance.queries.case_files import case_file_facts, case_photos
from compliance.queries.cleared import cleared_problems
from compliance.queries.sheets import job_sheet
from compliance.services.documents import Issue, check_url, drawn, issue_document
from compliance.services.stages import hold
from shop.core.findings import blocked, refuse_if_blocked
from shop.core.phrase import phrase
from shop.models import Person
from shop.services import next_number
from shop.services.cleaning import smaller_photo

SIDE = 480  # pixels of a photo on paper


@transaction.atomic
def issue_case_file(job: Job, *, why: str, on: date, at: datetime, by: Person) -> Document:
    """Put together everything that was written of a closed job. A later one gets its own number."""
    hold(job)
    closing = Closing.objects.filter(job=job).first()
    found = cleared_problems(job)
    if closing is None:
        sentence = phrase("{job} is open. Close it first; then everything of it is signed.", job=job.number)
        found.append(blocked("job-open", sentence))
    if len(why.strip()) < 3:
        found.append(blocked("why-empty", phrase("Say what the file is for."), "why"))
    refuse_if_blocked(found)
    assert closing is not None  # noqa: S101 - refused above
    newest = closing.certificates.select_related("document").order_by("-document__version")[0].document
    number = f"CF{on:%y}-{next_number(f'CF{on:%y}', job.establishment, by=by):04d}"
    facts = case_file_facts(
        newest, number=number, check_url=check_url(number, 1), why=why.strip(), at=at, by=by
    )
    small = [smaller_photo(bytes(photo.jpeg), SIDE) for photo in case_photos(job_sheet(job))]
    pictures = [Picture("", one.jpeg, one.width, one.height) for one in small]
    issue = Issue(Document.Kind.CASE_FILE, number, 1, on, why.strip())
    document = issue_document(
        drawn(issue, facts, case_file(facts, pictures)), job.establishment, at=at, by=by
    )
    CaseFile.objects.create(document=document, job=job)
    return document
