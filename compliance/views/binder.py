"""The inspection binder: whether it is ready, the PDF to look at, and the one that is kept for a visit."""

from __future__ import annotations

from datetime import date

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone

from compliance.core.binder_check import State, tally
from compliance.core.federal.keeping import KEEP_YEARS, last_kept
from compliance.forms.binder import BinderForm, KeepBinderForm
from compliance.models import Document
from compliance.queries import documents
from compliance.queries.binder_check import binder_check
from compliance.services import issue_binder, look_at_binder
from shop.core.findings import Refused
from shop.core.period import Period
from shop.http import SignedInRequest, now, show_refusal, written
from shop.permissions import OWNER, open_to

FIXES = {
    "people": "people:stages",
    "statements": "statements:list",
    "sent": "shipments:list",
    "jobs": "jobs:list",
    "weighings": "sheets:list",
    "purchases": "deliveries:list",
    "counts": "counts:new",
    "corrections": "corrections:list",
    "releases": "reports:list",
    "packs": "packs:choose",
    "backups": "house:backups",
}
MARKS = {State.READY: "done", State.LOOK: "look", State.MISSING: "stop"}


@open_to(OWNER)
def check(request: SignedInRequest) -> HttpResponse:
    """Ready, Look or Missing for each subject of the binder, and the one fix of each."""
    today = timezone.localdate(now())
    form = BinderForm(request.GET) if "first" in request.GET else BinderForm(initial=usual(today))
    period = form.period() if form.is_bound and form.is_valid() else Period(**usual(today))
    lines = binder_check(request.user.establishment, period, today=today)
    rows = [(one, MARKS[one.state], reverse(FIXES[one.key]) if one.key in FIXES else "") for one in lines]
    counted = [(state, MARKS[state], number) for state, number in tally(lines).items()]
    kept = documents(request.user.establishment, Document.Kind.BINDER)
    context = {"form": form, "period": period, "rows": rows, "counted": counted, "kept": kept}
    return render(request, "compliance/binder/check.html", context)


@open_to(OWNER)
def pdf(request: SignedInRequest) -> HttpResponse:
    """The binder as it stands now, to look at: no number, nothing is written."""
    form, moment = BinderForm(request.GET), now()
    if not form.is_valid():
        return render(request, "compliance/binder/days.html", {"form": form})
    house, today = request.user.establishment, timezone.localdate(moment)
    try:
        content = look_at_binder(house, form.period(), today=today, at=moment, by=request.user)
    except Refused as refused:
        show_refusal(form, refused)
        return render(request, "compliance/binder/days.html", {"form": form})
    headers = {
        "Content-Disposition": 'inline; filename="inspection-binder.pdf"',
        "X-Content-Type-Options": "nosniff",
    }
    return HttpResponse(content, content_type="application/pdf", headers=headers)


@open_to(OWNER)
def keep(request: SignedInRequest) -> HttpResponse:
    """Print it for somebody: it gets a number and is kept as it stood."""
    moment = now()
    house, today = request.user.establishment, timezone.localdate(moment)
    days = BinderForm(request.GET)
    first = dict(zip(("first", "last"), days.days(), strict=True)) if days.is_valid() else usual(today)
    form = KeepBinderForm(request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            document = issue_binder(
                house, form.period(), why=form.reason(), today=today, at=moment, by=request.user
            )
            return reverse("papers:page", args=[document.number, document.version])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/binder/keep.html", {"form": form})


def usual(today: date) -> dict[str, date]:
    """The last three years (40 CFR 82.42(b)(4))."""
    return {"first": last_kept(today, -KEEP_YEARS), "last": today}
