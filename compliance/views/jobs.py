"""Jobs: the bay, check-in, the job sheet, and the two ways a job ends."""

from __future__ import annotations

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from compliance.core.stages import Outcome, StageKind
from compliance.forms import CheckInForm, CloseForm, NotChargedForm
from compliance.models import Job
from compliance.queries import Sheet, closed_jobs, job_sheet, open_jobs, vehicle_history
from compliance.queries.facts import reconciliation
from compliance.services import check_in as open_job
from compliance.services import close_job, closing_problems, revise_check_in
from compliance.services.closing import CloseIn
from shop.core.vin import vin_problems
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to

STATE = {
    Outcome.DONE: ("done", "Done"),
    Outcome.NOT_NEEDED: ("unneeded", "Not needed"),
    Outcome.STOPPED: ("stop", "Stopped"),
}


@dataclass(frozen=True, slots=True)
class Line:
    """One stage on the job sheet: its shape and word, who and when, and where it leads."""

    kind: StageKind
    shape: str
    word: str
    who: str
    at: object
    note: str
    href: str


def job_of(request: SignedInRequest, number: str) -> Job:
    """The only way a view gets a job: one of this shop's own."""
    jobs = Job.objects.at_shop(request.user.establishment).select_related("establishment", "closing")
    return get_object_or_404(jobs, number=number)


@open_to(*EVERYONE)
def bay(request: SignedInRequest) -> HttpResponse:
    shop = request.user.establishment
    cards = [(job, stage_lines(job_sheet(job))) for job in open_jobs(shop)]
    return render(request, "compliance/jobs/list.html", {"cards": cards, "closed": closed_jobs(shop)[:20]})


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    form = CheckInForm(request.POST or None, initial=request.GET.dict())
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            moment = now()
            job = open_job(
                form.car(),
                request.user.establishment,
                on=timezone.localdate(moment),
                at=moment,
                by=request.user,
            )
            for finding in vin_problems(job.vehicle.vin):
                messages.warning(request, finding.message)
            return reverse("jobs:page", args=[job.number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/jobs/new.html", {"form": form})


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = job_sheet(job_of(request, number))
    lines = stage_lines(sheet)
    earlier = vehicle_history(sheet.job.vehicle).exclude(pk=sheet.job.pk)[:5]
    certificate = None
    if hasattr(sheet.job, "closing"):
        certificate = (
            sheet.job.closing.certificates.select_related("document").order_by("-document__version").first()
        )
    context = {
        "sheet": sheet,
        "job": sheet.job,
        "lines": lines,
        "next": next((line for line in lines if line.shape in ("look", "waiting")), None),
        "sums": reconciliation(sheet),
        "earlier": earlier,
        "certificate": certificate,
    }
    return render(request, "compliance/jobs/page.html", context)


@open_to(TECHNICIAN, OWNER)
def check_in(request: SignedInRequest, number: str) -> HttpResponse:
    job = job_of(request, number)
    form = CheckInForm(request.POST or None, initial=_typed(job_sheet(job)))
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            revise_check_in(job, form.car(), at=now(), by=request.user)
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/jobs/new.html", {"form": form, "job": job})


@open_to(TECHNICIAN, OWNER)
def close(request: SignedInRequest, number: str) -> HttpResponse:
    return _ending(request, number, CloseForm(request.POST or None), "compliance/jobs/close.html")


@open_to(TECHNICIAN, OWNER)
def not_charged(request: SignedInRequest, number: str) -> HttpResponse:
    return _ending(request, number, NotChargedForm(request.POST or None), "compliance/jobs/not_charged.html")


def _ending(
    request: SignedInRequest, number: str, form: CloseForm | NotChargedForm, template: str
) -> HttpResponse:
    job = job_of(request, number)
    if hasattr(job, "closing"):
        return redirect("jobs:page", number=number)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            moment = now()
            closing = close_job(
                job, form.close(), today=timezone.localdate(moment), at=moment, by=request.user
            )
            paper = closing.certificates.get().document
            return reverse("papers:page", args=[paper.number, paper.version])

        if answer := written(request, form, write):
            return answer
    sheet = job_sheet(job)
    ending = form.close() if form.is_bound and form.is_valid() else CloseIn()
    context = {
        "form": form,
        "job": job,
        "sheet": sheet,
        "sums": reconciliation(sheet),
        "lines": stage_lines(sheet),
        "findings": closing_problems(sheet, ending, by=request.user),
    }
    return render(request, template, context)


def stage_lines(sheet: Sheet) -> list[Line]:
    """The job sheet: what is done, what waits, what was left out."""
    return [
        _line(sheet, kind) for kind in StageKind if kind is not StageKind.LEAK_TEST or _leak_tested(sheet)
    ]


def _leak_tested(sheet: Sheet) -> bool:
    weighed = any(row.moment == "leak test" for can in sheet.cans for row in can.tickets)
    return weighed or sheet.last(StageKind.LEAK_TEST) is not None


def _line(sheet: Sheet, kind: StageKind) -> Line:
    stage = sheet.last(kind)
    names = {StageKind.CHECK_IN: "jobs:check-in", StageKind.CHARGE: "jobs:charge"}
    args = [sheet.job.number] if kind in names else [sheet.job.number, kind.value]
    href = reverse(names.get(kind, "jobs:stage"), args=args)
    if stage is None:
        started = kind is StageKind.CHARGE and bool(sheet.cans)
        optional = kind is StageKind.REPAIR
        shape, word = (
            ("look", "Under way") if started else ("unneeded", "None") if optional else ("waiting", "Waiting")
        )
        return Line(kind, shape, word, "", None, "", href)
    shape, word = STATE[Outcome(stage.outcome)]
    return Line(kind, shape, word, stage.by.first_name, stage.at, stage.reason, href)


def _typed(sheet: Sheet) -> dict[str, str]:
    seen, label, vehicle = sheet.check_in, sheet.label, sheet.job.vehicle
    typed = {
        name: getattr(seen, name)
        for name in ("customer", "phone", "plate", "odometer", "complaint", "repair_order")
    }
    typed |= {"vin": vehicle.vin, "description": vehicle.description, "refrigerant": seen.refrigerant_id}
    if label is not None:
        typed |= {
            "charge": label.charge_text,
            "tolerance": label.tolerance_text,
            "unit": label.charge_unit,
            "source": label.source,
        }
    return typed
