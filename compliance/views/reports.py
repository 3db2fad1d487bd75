"""Usage reports: the draft of any period, and the signature."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from compliance.core.usage_report import usage_report
from compliance.forms import PeriodForm
from compliance.models import Document
from compliance.queries import documents
from compliance.services import draft_usage_report, issue_usage_report
from shop.core.findings import Refused
from shop.core.period import Period
from shop.http import SignedInRequest, now, show_refusal, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(OWNER, FRONT_OFFICE)
def reports(request: SignedInRequest) -> HttpResponse:
    rows = documents(request.user.establishment, Document.Kind.USAGE_REPORT)
    today = timezone.localdate(now())
    number = (today.month - 1) // 3
    last = Period.quarter(today.year, number) if number else Period.quarter(today.year - 1, 4)
    form = PeriodForm(initial={"first": last.first, "last": last.last})
    return render(request, "compliance/reports/list.html", {"rows": rows, "form": form})


@open_to(OWNER, FRONT_OFFICE)
def draft(request: SignedInRequest) -> HttpResponse:
    form, facts = PeriodForm(request.GET or None), None
    if form.is_valid():
        moment = now()
        try:
            facts = draft_usage_report(
                request.user.establishment,
                form.period(),
                co2e=form.cleaned_data["co2e"],
                today=timezone.localdate(moment),
                at=moment,
                by=request.user,
            )
        except Refused as refused:
            show_refusal(form, refused)
    paper = usage_report(facts) if facts is not None else None
    return render(request, "compliance/reports/draft.html", {"form": form, "facts": facts, "paper": paper})


@open_to(OWNER)
def sign(request: SignedInRequest) -> HttpResponse:
    form = PeriodForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            moment = now()
            document = issue_usage_report(
                request.user.establishment,
                form.period(),
                co2e=form.cleaned_data["co2e"],
                today=timezone.localdate(moment),
                at=moment,
                by=request.user,
            )
            return reverse("papers:page", args=[document.number, document.version])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/reports/draft.html", {"form": form, "facts": None, "paper": None})
