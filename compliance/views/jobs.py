"""Jobs: the bay, check-in, the job sheet, and the two ways a job ends."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms import CheckInForm, CloseForm, NotChargedForm, label_typed
from compliance.forms.checking_in import COMPLAINTS
from compliance.models import CustomerChoice, Job
from compliance.queries import Sheet, closed_jobs, job_sheet, open_jobs, vehicle_history
from compliance.queries.cleared import clearing_of
from compliance.queries.corrections import corrections_of
from compliance.queries.facts import reconciliation, recovered
from compliance.queries.holds import hold_of
from compliance.queries.lines import after_stage, stage_lines
from compliance.queries.packs import job_rules
from compliance.queries.spares import spares_of
from compliance.queries.visits import came_back, known_car
from compliance.services import check_in as open_job
from compliance.services import close_job, closing_problems, revise_check_in
from compliance.services.closing import CloseIn
from compliance.views.sent_later import at_its_time, device_may_keep
from inventory.queries import mark
from shop.core.cautions import DEFER, MAYBE_HIGH_VOLTAGE
from shop.core.mass import Unit, total
from shop.core.vin import vin_problems
from shop.http import SignedInRequest, now, say, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, TECHNICIAN, open_to

CHECK_IN_CAUTIONS = {"cautions": (MAYBE_HIGH_VOLTAGE,), "defer": DEFER}


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
    known = known_car(request.user.establishment, *_looked_for(request))
    looking = request.method == "POST" and "look" in request.POST
    begin = (known.begin if known is not None else {}) | _begun(request)
    form = CheckInForm(request.POST if request.method == "POST" and not looking else None, initial=begin)
    if request.method == "POST" and not looking and form.is_valid():

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
                messages.warning(request, say(finding.message))
            return after_stage(job_sheet(job))

        if answer := written(request, form, write):
            return answer
    context = {"form": form, "known": known, "looked": looking}
    return render(request, "compliance/jobs/new.html", context | CHECK_IN_CAUTIONS)


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = job_sheet(job_of(request, number))
    weighed = [row.ticket for can in sheet.cans for row in can.tickets]
    mark(sheet.job.establishment, weighed)
    lines = stage_lines(sheet)
    earlier = vehicle_history(sheet.job.vehicle).exclude(pk=sheet.job.pk)[:5]
    certificate = None
    if hasattr(sheet.job, "closing"):
        certificate = (
            sheet.job.closing.certificates.select_related("document").order_by("-document__version").first()
        )
    rules = None if certificate else job_rules(sheet)
    context = {
        "sheet": sheet,
        "job": sheet.job,
        "lines": lines,
        "spares": spares_of(sheet.job),
        "next": next((line for line in lines if line.shape in ("look", "waiting")), None),
        "sums": reconciliation(sheet),
        "earlier": earlier,
        "came_back": came_back(sheet),
        "choice": sheet.job.choices.select_related("by").last(),
        "hand_over": sheet.job.hand_overs.select_related("by", "to").last(),
        "certificate": certificate,
        "rules": rules,
        "asks": rules.asked.answered(by_office=request.user.role == FRONT_OFFICE) if rules else (),
        "in_doubt": [ticket for ticket in weighed if ticket.in_doubt is not None],
        "slips": corrections_of(sheet.job) if certificate is not None else (),
        "held": hold_of(sheet.job) if certificate is not None else None,
        "clearing": clearing_of(sheet.job) if certificate is not None else None,
    }
    response = render(request, "compliance/jobs/page.html", context)
    return response if certificate is not None else device_may_keep(request, response)


@open_to(TECHNICIAN, OWNER)
def check_in(request: SignedInRequest, number: str) -> HttpResponse:
    job = job_of(request, number)
    form = CheckInForm(request.POST or None, initial=_typed(job_sheet(job)))
    if request.method == "POST" and form.is_valid():

        def write(at: datetime) -> str:
            revise_check_in(job, form.car(), at=at, by=request.user)
            return after_stage(job_sheet(job))

        if answer := written(request, form, lambda: at_its_time(request, job, write)):
            return answer
    return render(request, "compliance/jobs/new.html", {"form": form, "job": job} | CHECK_IN_CAUTIONS)


@open_to(TECHNICIAN, OWNER)
def close(request: SignedInRequest, number: str) -> HttpResponse:
    return _ending(request, number, CloseForm(request.POST or None), "compliance/jobs/close.html")


@open_to(TECHNICIAN, OWNER)
def not_charged(request: SignedInRequest, number: str) -> HttpResponse:
    form = NotChargedForm(request.POST or None, initial=_ends(job_of(request, number)))
    return _ending(request, number, form, "compliance/jobs/not_charged.html")


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
    rules = job_rules(sheet)
    ending = form.close() if form.is_bound and form.is_valid() else CloseIn()
    context = {
        "form": form,
        "job": job,
        "sheet": sheet,
        "sums": reconciliation(sheet),
        "lines": stage_lines(sheet),
        "findings": closing_problems(sheet, ending, by=request.user),
        "rules": rules,
        "asks": rules.answered,
    }
    return render(request, template, context)


def _looked_for(request: SignedInRequest) -> tuple[str, str]:
    """The VIN and the plate of a car that may have been here before: from the form, or from the address."""
    source = request.POST if request.method == "POST" else request.GET
    vin, plate = (source.get(name, "").replace("\0", "")[:20] for name in ("vin", "plate"))
    return vin, plate


def _begun(request: SignedInRequest) -> dict[str, Any]:
    """What was typed before the car was looked up, so that nothing has to be typed twice."""
    source = request.POST if request.method == "POST" else request.GET
    return {name: value for name, value in source.items() if value and name in CheckInForm.base_fields}


def _ends(job: Job) -> dict[str, Any]:
    """What is known already when a job ends without a charge; in English, since it is signed as it stands."""
    sheet, said = job_sheet(job), job.choices.last()
    begin: dict[str, Any] = {"stops": []}
    if sheet.leak_open is not None:
        begin |= {"stops": ["leak found"], "stopped": sheet.leak_open.detail}
    if sheet.recoveries:
        out = total(recovered(one) for one in sheet.recoveries).rounded(Unit.G, 0)
        begin["state_now"] = f"recovered {out} g" if out else "nothing came out"
    if said is not None:
        if said.what == CustomerChoice.What.DECLINE:
            begin["stops"].append("customer declined")
        when = timezone.localtime(said.at)
        begin["choice"] = (
            f"{said.get_what_display()}: {said.who}, {said.how}, {when:%H:%M}, told to {said.by.name}"
        )
    return begin


def _typed(sheet: Sheet) -> dict[str, Any]:
    seen, label, vehicle = sheet.check_in, sheet.label, sheet.job.vehicle
    typed = {
        name: getattr(seen, name)
        for name in (
            "customer",
            "phone",
            "plate",
            "odometer",
            "repair_order",
            "compressor",
            "unit_kind",
            "rear_air",
            "elsewhere",
        )
    }
    typed |= {"vin": vehicle.vin, "description": vehicle.description, "refrigerant": seen.refrigerant_id}
    typed["complaint" if seen.complaint in COMPLAINTS else "other_complaint"] = seen.complaint
    found = getattr(seen.stage, "retrofit", None)
    if found is not None:
        typed |= {"retrofit": True, "labelled": found.labelled}
        typed |= {"fittings": found.fittings, "removed": found.removed}
    return typed | label_typed(label)
