"""What bends a job: the customer's choice, a hand-over."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.forms import ChoiceForm, HandOverForm
from compliance.services import hand_over as give_on
from compliance.services import record_choice
from compliance.views.stages import open_sheet
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, OWNER, TECHNICIAN, open_to


@open_to(*EVERYONE)
def choice(request: SignedInRequest, number: str) -> HttpResponse:
    """What the customer said; the front office asks them, so everybody may write it down."""
    sheet = open_sheet(request, number)
    form = ChoiceForm(request.POST or None, initial={"who": sheet.check_in.customer})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            record_choice(sheet.job, form.choice(), at=now(), by=request.user)
            messages.success(request, _("The customer's answer is kept."))
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    context = {"form": form, "job": sheet.job, "sheet": sheet, "said": sheet.job.choices.select_related("by")}
    return render(request, "compliance/jobs/choice.html", context)


@open_to(TECHNICIAN, OWNER)
def hand_over(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = open_sheet(request, number)
    form = HandOverForm(request.POST or None, by=request.user)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            given = give_on(sheet.job, to=form.person(), note=form.words(), at=now(), by=request.user)
            messages.success(request, _("%(name)s goes on with this job.") % {"name": given.to.name})
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/jobs/hand_over.html", {"form": form, "job": sheet.job})
