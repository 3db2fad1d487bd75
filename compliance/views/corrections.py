"""Correction slips: what is wrong on a closed job, what putting it right would do, the slip, and the list of slips."""

from __future__ import annotations

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.forms.corrections import CorrectionForm, grouped
from compliance.queries import job_sheet
from compliance.queries.correcting import touched_reports
from compliance.queries.corrections import corrections, spots
from compliance.services import correct_job, look_at_correction
from compliance.services.correcting import Outlook
from compliance.views.jobs import job_of
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, show_refusal, written
from shop.permissions import EVERYONE, OWNER, open_to


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    pages = Paginator(corrections(request.user.establishment), 50).get_page(request.GET.get("page"))
    return render(request, "compliance/corrections/list.html", {"pages": pages})


@open_to(*EVERYONE)
def page(request: SignedInRequest, slip: str) -> HttpResponse:
    one = get_object_or_404(corrections(request.user.establishment), number=slip)
    lines = one.entry.movements.order_by("pk") if one.entry is not None else []
    held = one.closing.job.holds.filter(at__lte=one.at).exclude(end__at__lte=one.at).first()
    context = {"slip": one, "lines": lines, "held": held, "reports": touched_reports(one.closing)}
    return render(request, "compliance/corrections/page.html", context)


@open_to(OWNER)
def new(request: SignedInRequest, number: str) -> HttpResponse:
    """Choose what is wrong; then how it should read; then see what that does, and sign."""
    job = job_of(request, number)
    if not hasattr(job, "closing"):
        return redirect("jobs:page", number=number)
    every = spots(job_sheet(job))
    chosen = [spot for spot in every if spot.key in request.GET.getlist("what")]
    if not chosen:
        context = {
            "job": job,
            "groups": grouped(every),
            "asked": "what" in request.GET or "go" in request.GET,
        }
        return render(request, "compliance/corrections/choose.html", context)
    form = CorrectionForm(request.POST or None, chosen)
    outlook: Outlook | None = None
    if request.method == "POST" and form.is_valid():
        if request.POST.get("seen") == form.as_seen():

            def write() -> str:
                slip = correct_job(
                    job,
                    form.changes(),
                    why=form.reason(),
                    on=timezone.localdate(now()),
                    at=now(),
                    by=request.user,
                )
                messages.success(request, _("The slip is signed, and the new version is issued."))
                return reverse("corrections:page", args=[slip.number])

            if answer := written(request, form, write):
                return answer
        else:
            outlook = _looked(form, request, number)
    context = {"job": job, "form": form, "outlook": outlook}
    return render(request, "compliance/corrections/new.html", context)


def _looked(form: CorrectionForm, request: SignedInRequest, number: str) -> Outlook | None:
    """What it would do; None when it was refused, with each finding put beside its field."""
    try:
        return look_at_correction(job_of(request, number), form.changes(), why=form.reason(), by=request.user)
    except Refused as refused:
        show_refusal(form, refused)
    return None
