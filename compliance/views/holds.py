"""Holds: the list, placing one on a job, ending one."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.forms.corrections import HoldForm
from compliance.queries.holds import hold_of, holds
from compliance.services import end_hold, place_hold
from compliance.views.jobs import job_of
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, OWNER, open_to


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    return render(request, "compliance/holds/list.html", {"holds": holds(request.user.establishment)})


@open_to(*EVERYONE)
def new(request: SignedInRequest, number: str) -> HttpResponse:
    job, form = job_of(request, number), HoldForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            place_hold(job, why=form.reason(), at=now(), by=request.user)
            messages.success(request, _("The job is on hold. Nothing of it will be cleared."))
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/holds/new.html", {"form": form, "job": job, "held": hold_of(job)})


@open_to(OWNER)
def end(request: SignedInRequest, number: str) -> HttpResponse:
    job, form = job_of(request, number), HoldForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            end_hold(job, why=form.reason(), at=now(), by=request.user)
            messages.success(request, _("The hold is over."))
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/holds/end.html", {"form": form, "job": job, "held": hold_of(job)})
