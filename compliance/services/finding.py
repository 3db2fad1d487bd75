"""The words that jobs and papers are found by, and the index of all words made anew."""

from __future__ import annotations

from collections.abc import Iterator

from django.db import transaction

from compliance.models import CheckIn, Correction, Document, Job
from inventory.services.finding import all_findable
from shop.core.finding import Findable, Kind
from shop.models import Establishment, Vehicle
from shop.services.finding import find_anew, findable_car


def findable_job(job: Job, *check_ins: CheckIn) -> Findable:
    """A job, by its number and by whose car it was: name, phone, repair order."""
    said = [word for one in check_ins for word in (one.customer, one.phone, one.repair_order)]
    return Findable(Kind.JOB, job.number, (job.number, *said))


def findable_correction(slip: Correction) -> tuple[Findable, ...]:
    """A corrected job is found by the slip's number and by the words as they should have stood; so is its car."""
    right = {row.key: row.new for row in slip.fields.all()}
    job = slip.closing.job
    words = [right.get(f"check-in-1-{name}", "") for name in ("customer", "repair_order")]
    car = Findable(
        Kind.CAR, str(job.vehicle_id), (right.get("vehicle-vin", ""), right.get("check-in-1-plate", ""))
    )
    return Findable(Kind.JOB, job.number, (slip.number, *words)), car


def findable_paper(document: Document) -> Findable:
    """A paper, by its number; all versions of it are one thing."""
    return Findable(Kind.PAPER, document.number, (document.number,))


@transaction.atomic
def rebuild_search(establishment: Establishment) -> int:
    """Make a shop's index of words anew from what was written. How many things it finds."""
    return find_anew(establishment, _everything(establishment))


def _everything(establishment: Establishment) -> Iterator[Findable]:
    yield from all_findable(establishment)
    for vehicle in Vehicle.objects.filter(establishment=establishment).iterator():
        yield findable_car(vehicle)
    seen = CheckIn.objects.filter(stage__job__establishment=establishment).select_related(
        "stage__job__vehicle"
    )
    for check_in in seen.order_by("pk").iterator():
        yield findable_car(check_in.stage.job.vehicle, check_in.plate)
        yield findable_job(check_in.stage.job, check_in)
    slips = Correction.objects.filter(establishment=establishment)
    for slip in slips.select_related("closing__job").prefetch_related("fields"):
        yield from findable_correction(slip)
    papers = Document.objects.filter(establishment=establishment, replaces=None).defer("pdf", "facts")
    for document in papers.iterator():
        yield findable_paper(document)
