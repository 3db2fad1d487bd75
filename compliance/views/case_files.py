"""The case file of a job: what it will say is missing, and its making."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from compliance.forms.corrections import HoldForm
from compliance.queries.holds import hold_of
from compliance.services import issue_case_file
from compliance.views.jobs import job_of
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest, number: str) -> HttpResponse:
    job, form = job_of(request, number), HoldForm(request.POST or None)
    if not hasattr(job, "closing"):
        return redirect("jobs:page", number=number)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            today = timezone.localdate(now())
            document = issue_case_file(job, why=form.reason(), on=today, at=now(), by=request.user)
            return reverse("papers:page", args=[document.number, document.version])

        if answer := written(request, form, write):
            return answer
    files = job.case_files.select_related("document__by").defer("document__pdf", "document__facts")
    context = {"form": form, "job": job, "held": hold_of(job), "files": files.order_by("-document")}
    return render(request, "compliance/papers/case_file.html", context)
