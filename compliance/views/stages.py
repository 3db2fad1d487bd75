"""The stages of an open job, one page each; what was typed and not yet signed is kept as a draft."""

from __future__ import annotations

from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import Http404, HttpResponse, JsonResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from compliance.core.cautions import cautions_at
from compliance.core.stages import StageKind
from compliance.forms import STAGE_FORMS, SkipForm, StageForm
from compliance.forms.stages import MANY
from compliance.models import Draft, Stage
from compliance.queries import Sheet, job_sheet
from compliance.queries.charge_view import charge_view
from compliance.queries.entry_rules import stage_entry_rules
from compliance.queries.lines import after_stage
from compliance.queries.spares import looked_at, rival_stage
from compliance.queries.stage_answers import WORKED_OUT, stage_answers, stage_findings
from compliance.queries.stage_view import cautions_folded, cylinders, timers
from compliance.services import save_draft
from compliance.views.jobs import job_of
from compliance.views.sent_later import NOT_TYPED, at_its_time, device_may_keep, keep_beside, told_once
from shop.core.cautions import DEFER
from shop.http import SignedInRequest, now, say, write_once, written
from shop.permissions import OWNER, TECHNICIAN, open_to

WORK_IT_OUT = "answer"  # what the button sends in the place of a clock


@open_to(TECHNICIAN, OWNER)
@told_once
def stage(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    sheet = open_sheet(request, number)
    form_class = STAGE_FORMS.get(known_kind(kind))
    if form_class is None:
        raise Http404
    draft = Draft.objects.filter(job=sheet.job, kind=kind).select_related("by").first()
    form = _form(request, sheet, form_class, draft)
    if request.method == "POST" and ("later" in request.POST or "clock" in request.POST):
        return write_once(request, lambda: _keep_for_later(request, sheet, kind))
    if request.method == "POST" and form.is_valid():

        def write(at: datetime) -> str:
            if first := _rival(request, sheet, kind):
                return keep_beside(request, sheet.job, first)
            form.write(at=at, by=request.user)
            return kept(request, sheet, known_kind(kind), at)

        if answer := written(request, form, lambda: at_its_time(request, sheet.job, write)):
            return answer
    context = {"form": form, "sheet": sheet, "job": sheet.job, "draft": draft}
    context |= _beside(request, sheet, known_kind(kind), draft)
    return device_may_keep(request, render(request, "compliance/jobs/stage.html", context))


@open_to(TECHNICIAN, OWNER)
@told_once
def leave_out(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    sheet = open_sheet(request, number)
    form = SkipForm(request.POST or None, job=sheet.job, refrigerant=sheet.refrigerant)
    if request.method == "POST" and form.is_valid():

        def write(at: datetime) -> str:
            if first := _rival(request, sheet, kind):
                return keep_beside(request, sheet.job, first)
            form.write_for(known_kind(kind), at=at, by=request.user)
            return kept(request, sheet, known_kind(kind), at)

        if answer := written(request, form, lambda: at_its_time(request, sheet.job, write)):
            return answer
    context = {"form": form, "job": sheet.job, "kind": known_kind(kind), "looked": looked_at(sheet)}
    return device_may_keep(request, render(request, "compliance/jobs/leave_out.html", context))


@open_to(TECHNICIAN, OWNER)
@require_POST
def draft(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    """Keep what stands in the page's form, without a word of judgement; the page sends it while people type."""
    sheet = open_sheet(request, number)
    save_draft(sheet.job, known_kind(kind), _beside_clocks(request, sheet, kind), at=now(), by=request.user)
    return JsonResponse({"kept": f"{timezone.localtime(now()):%H:%M:%S}"})


def open_sheet(request: SignedInRequest, number: str) -> Sheet:
    """The sheet of an open job of this shop; a closed one has no stages to write."""
    job = job_of(request, number)
    if hasattr(job, "closing"):
        raise Http404(f"{number} is closed")
    return job_sheet(job)


def known_kind(kind: str) -> StageKind:
    try:
        return StageKind(kind)
    except ValueError:
        raise Http404 from None


def kept(request: SignedInRequest, sheet: Sheet, kind: StageKind, at: datetime) -> str:
    """Say that a stage is saved, and where the work goes on."""
    saved = f"{timezone.localtime(at):%H:%M:%S}"
    messages.success(request, _("%(time)s: %(stage)s.") % {"time": saved, "stage": say(kind.label)})
    now_stands = job_sheet(sheet.job)
    for finding in stage_findings(now_stands, kind):
        messages.warning(request, say(finding.message))
    return after_stage(now_stands)


def _rival(request: SignedInRequest, sheet: Sheet, kind: str) -> Stage | None:
    return rival_stage(sheet.job, kind, request.POST.get("looked", ""), by=request.user)


def _form(
    request: SignedInRequest, sheet: Sheet, form_class: type[StageForm], draft: Draft | None
) -> StageForm:
    begin: dict[str, Any] = {"started_at": now()} if form_class.kind is StageKind.RECOVERY else {}
    if draft is not None:
        begin |= form_class.typed_before(draft.typed)
    data = request.POST if request.method == "POST" else None
    return form_class(data, initial=begin, job=sheet.job, refrigerant=sheet.refrigerant)


def _beside(
    request: SignedInRequest, sheet: Sheet, kind: StageKind, draft: Draft | None
) -> dict[str, object]:
    """What stands around the form of a stage."""
    seen = sheet.check_in
    near = cylinders(sheet) if kind is StageKind.RECOVERY else ()
    return {
        "kind": kind,
        "looked": looked_at(sheet),
        "rules": stage_entry_rules(sheet, kind.value, [one.room.cylinder for one in near], now()),
        "answers": stage_answers(sheet, kind, draft),
        "opened": request.GET.get("show")
        == WORK_IT_OUT,  # else an answer is its headline, and the form follows
        "written": sheet.of(kind),
        "cautions": cautions_at(
            kind, sheet.refrigerant, compressor=seen.compressor, leak_found=sheet.leak_open is not None
        ),
        "folded": cautions_folded(request.user, kind),
        "defer": DEFER,
        "timers": timers(sheet, kind, draft, now()),
        "works_out": kind in WORKED_OUT,
        "cylinders": near,
        "over": charge_view(sheet).over if kind is StageKind.RECOVERY else None,
    }


def _typed(request: SignedInRequest) -> dict[str, Any]:
    """What was typed, by the names of the fields. PostgreSQL keeps no NUL."""
    typed: dict[str, Any] = {}
    for name in request.POST:
        if name not in NOT_TYPED:
            values = [value.replace("\0", "")[:500] for value in request.POST.getlist(name)]
            typed[name.replace("\0", "")[:40]] = values if name in MANY else values[-1]
    return typed


def _beside_clocks(request: SignedInRequest, sheet: Sheet, kind: str) -> dict[str, Any]:
    """What was typed, over what the draft has; a clock that somebody pressed on another page is not put back by this
    older one."""
    typed = _typed(request)
    kept = Draft.objects.filter(job=sheet.job, kind=kind).values_list("typed", flat=True).first() or {}
    for name in getattr(STAGE_FORMS.get(known_kind(kind)), "clocks", ()):
        both = (name, f"{name}_instant")
        if kept.get(both[1]) and not typed.get(both[1]):
            typed |= {one: kept[one] for one in both if one in kept}
    return typed


def _keep_for_later(request: SignedInRequest, sheet: Sheet, kind: str) -> str:
    clock = request.POST.get("clock", "")

    def write(at: datetime) -> str:
        typed = _beside_clocks(request, sheet, kind)
        if clock in getattr(STAGE_FORMS.get(known_kind(kind)), "clocks", ()):
            typed[clock] = f"{timezone.localtime(at):%Y-%m-%dT%H:%M}"
            typed[f"{clock}_instant"] = at.isoformat()
        save_draft(sheet.job, known_kind(kind), typed, at=at, by=request.user)
        saved = f"{timezone.localtime(at):%H:%M:%S}"
        said = _("%(time)s: kept for later; nothing of it is signed yet.")
        messages.success(request, said % {"time": saved})
        if clock:
            page = reverse("jobs:stage", args=[sheet.job.number, kind])
            return f"{page}?show={WORK_IT_OUT}" if clock == WORK_IT_OUT else page
        return reverse("jobs:page", args=[sheet.job.number])

    return at_its_time(request, sheet.job, write)
