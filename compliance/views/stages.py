"""The stages of an open job, one page each, and the charge page that matters most."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from compliance.core.cautions import cautions_at
from compliance.core.stages import StageKind
from compliance.forms import FinishChargeForm, SkipForm, WeighForm
from compliance.forms.charging import WHATS
from compliance.forms.stages import STAGE_FORMS
from compliance.models import CanTicket, Draft, Job
from compliance.queries import Sheet, job_sheet
from compliance.queries.charge_view import charge_view
from compliance.services import finish_charge as keep_charge
from compliance.services import likely_weighing, retype_ticket, save_draft, weigh_can
from compliance.views.jobs import job_of
from shop.core.cautions import DEFER
from shop.core.findings import Finding, Refused, Weight
from shop.http import SignedInRequest, now, show_refusal, write_once, written
from shop.permissions import OWNER, TECHNICIAN, open_to


@open_to(TECHNICIAN, OWNER)
def stage(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    sheet = _open_sheet(request, number)
    form_class = STAGE_FORMS.get(_kind(kind))
    if form_class is None:
        raise Http404
    draft = Draft.objects.filter(job=sheet.job, kind=kind).first()
    initial = draft.typed if draft is not None else {}
    form = form_class(
        request.POST if request.method == "POST" else None,
        initial=initial,
        job=sheet.job,
        refrigerant=sheet.refrigerant,
    )
    if request.method == "POST" and ("later" in request.POST or "clock" in request.POST):
        return _keep_for_later(request, sheet.job, kind)
    if request.method == "POST" and form.is_valid():
        answer = _written(request, sheet.job, form, lambda: form.write(at=now(), by=request.user))
        if answer is not None:
            return answer
    context = {
        "form": form,
        "sheet": sheet,
        "job": sheet.job,
        "kind": _kind(kind),
        "draft": draft,
        "written": sheet.of(_kind(kind)),
        "cautions": cautions_at(kind, sheet.refrigerant),
        "defer": DEFER,
    }
    return render(request, "compliance/jobs/stage.html", context)


@open_to(TECHNICIAN, OWNER)
def leave_out(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    sheet = _open_sheet(request, number)
    form = SkipForm(request.POST or None, job=sheet.job, refrigerant=sheet.refrigerant)
    if request.method == "POST" and form.is_valid():
        answer = _written(
            request, sheet.job, form, lambda: form.write_for(_kind(kind), at=now(), by=request.user)
        )
        if answer is not None:
            return answer
    return render(
        request, "compliance/jobs/leave_out.html", {"form": form, "job": sheet.job, "kind": _kind(kind)}
    )


@open_to(TECHNICIAN, OWNER)
def charge(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = _open_sheet(request, number)
    view = charge_view(sheet)
    form = WeighForm(request.POST or None, sheet=sheet, initial=view.next_reading)
    warnings: tuple[Finding, ...] = ()
    guess = None
    if request.method == "POST" and form.is_valid():
        try:
            return write_once(request, lambda: _weighed(request, sheet.job, form))
        except Refused as refused:
            show_refusal(form, refused)
            warnings = tuple(one for one in refused.findings if one.weight is Weight.WARNS)
            if any(one.code == "unit-slip" for one in refused.findings):
                guess = likely_weighing(sheet.job, form.weighing(), by=request.user)
    context = _charge_page(sheet, form, FinishChargeForm(sheet=sheet), warnings)
    return render(request, "compliance/jobs/charge.html", context | {"guess": guess})


@open_to(TECHNICIAN, OWNER)
def finish_charge(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = _open_sheet(request, number)
    finish = FinishChargeForm(request.POST or None, sheet=sheet)
    if request.method == "POST" and finish.is_valid():
        answer = _written(
            request,
            sheet.job,
            finish,
            lambda: keep_charge(sheet.job, finish.charge(), at=now(), by=request.user),
        )
        if answer is not None:
            return answer
    form = WeighForm(sheet=sheet, initial=charge_view(sheet).next_reading)
    return render(request, "compliance/jobs/charge.html", _charge_page(sheet, form, finish, ()))


@open_to(TECHNICIAN, OWNER)
def retype(request: SignedInRequest, number: str, ticket: int) -> HttpResponse:
    sheet = _open_sheet(request, number)
    rows = CanTicket.objects.filter(job=sheet.job).select_related("ticket__container__can__type")
    old = get_object_or_404(rows, ticket__number=ticket)
    form = WeighForm(request.POST or None, sheet=sheet, initial=_as_typed(old))
    warnings: tuple[Finding, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            return write_once(request, lambda: _retyped(request, old, form))
        except Refused as refused:
            show_refusal(form, refused)
            warnings = tuple(one for one in refused.findings if one.weight is Weight.WARNS)
    context = {"form": form, "old": old, "job": sheet.job, "warnings": warnings}
    return render(request, "compliance/jobs/retype.html", context)


def _open_sheet(request: SignedInRequest, number: str) -> Sheet:
    job = job_of(request, number)
    if hasattr(job, "closing"):
        raise Http404(f"{number} is closed")
    return job_sheet(job)


def _kind(kind: str) -> StageKind:
    try:
        return StageKind(kind)
    except ValueError:
        raise Http404 from None


def _written(
    request: SignedInRequest, job: Job, form: Any, write: Callable[[], object]
) -> HttpResponse | None:
    def once() -> str:
        write()
        return reverse("jobs:page", args=[job.number])

    return written(request, form, once)


def _keep_for_later(request: SignedInRequest, job: Job, kind: str) -> HttpResponse:
    left = {"csrfmiddlewaretoken", "once", "later", "clock"}
    typed: dict[str, Any] = {}
    for name in request.POST:
        if name not in left:
            values = [
                value.replace("\0", "") for value in request.POST.getlist(name)
            ]  # PostgreSQL keeps none
            typed[name] = values if name in ("methods", "places") else values[-1]
    moment, clock = now(), request.POST.get("clock")
    if clock in ("started_at", "stopped_at"):
        typed[clock] = timezone.localtime(moment).strftime("%Y-%m-%dT%H:%M")
    save_draft(job, _kind(kind), typed, at=moment, by=request.user)
    messages.success(request, "Kept for later; nothing of it is signed yet.")
    return (
        redirect("jobs:stage", number=job.number, kind=kind)
        if clock
        else redirect("jobs:page", number=job.number)
    )


def _weighed(request: SignedInRequest, job: Job, form: WeighForm) -> str:
    row = weigh_can(job, form.weighing(), at=now(), by=request.user)
    ticket = row.ticket
    saved = timezone.localtime(ticket.at).strftime("%H:%M:%S")
    messages.success(request, f"{saved}: ticket {ticket.number}, {ticket.container_id}, {ticket.reading}.")
    return reverse("jobs:charge", args=[job.number])


def _retyped(request: SignedInRequest, old: CanTicket, form: WeighForm) -> str:
    row = retype_ticket(old, form.weighing(), at=now(), by=request.user)
    messages.success(request, f"Ticket {row.ticket.number} now stands for ticket {old.ticket.number}.")
    return reverse("jobs:charge", args=[old.job.number])


def _as_typed(old: CanTicket) -> dict[str, object]:
    what = {"before": "before", "leak test": "leak test"}.get(old.moment, "empty" if old.emptied else "off")
    ticket = old.ticket
    return {
        "container": ticket.container_id,
        "reading": ticket.reading_text,
        "what": what,
        "scale": ticket.scale_id,
        "style": ticket.style,
    }


def _charge_page(
    sheet: Sheet, form: WeighForm, finish: FinishChargeForm, warnings: tuple[Finding, ...]
) -> dict[str, object]:
    return {
        "form": form,
        "finish": finish,
        "sheet": sheet,
        "job": sheet.job,
        "view": charge_view(sheet),
        "warnings": warnings,
        "seen": " ".join(one.code for one in warnings),
        "whats": WHATS,
        "cautions": cautions_at(StageKind.CHARGE, sheet.refrigerant),
        "defer": DEFER,
    }
