"""The charge page that matters most: one reading after the other, answered while it is typed."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.core.cautions import cautions_at
from compliance.core.stages import StageKind
from compliance.forms import FinishChargeForm, MischargeForm, OtherCanForm, WeighForm
from compliance.models import CanTicket, Draft
from compliance.queries import Sheet
from compliance.queries.can_hints import can_hints
from compliance.queries.charge_view import ChargeView, charge_view, if_kept
from compliance.queries.entry_rules import charge_rules
from compliance.queries.fitness import scale_fitness
from compliance.queries.spares import looked_at, rival_stage, rival_ticket
from compliance.queries.stage_view import cautions_folded, cylinders
from compliance.services import (
    WeighingIn,
    likely_weighing,
    look_at_weighing,
    record_mischarge,
    refile_can,
    retype_ticket,
    take_off_can,
    take_over_can,
    weigh_can,
)
from compliance.services import finish_charge as keep_charge
from compliance.views.sent_later import at_its_time, device_may_keep, keep_beside, told_once
from compliance.views.stages import kept, open_sheet
from inventory.queries import mark
from shop.core.cautions import DEFER
from shop.core.findings import Finding, Refused, Weight
from shop.http import SignedInRequest, now, say, show_refusal, write_once, written
from shop.permissions import OWNER, TECHNICIAN, open_to


@open_to(TECHNICIAN, OWNER)
@told_once
def charge(request: SignedInRequest, number: str) -> HttpResponse:
    return _weighing_page(request, open_sheet(request, number), weigh_can)


@open_to(TECHNICIAN, OWNER)
def look(request: SignedInRequest, number: str) -> HttpResponse:
    """What this reading would mean and what looks wrong with it, for the page that asks while people type."""
    sheet = open_sheet(request, number)
    form = WeighForm(request.GET, sheet=sheet)
    if not form.is_valid():
        errors = [error for name in ("container", "reading") for error in form.errors.get(name, [])]
        wrong = {"answer": {"errors": errors}, "job": sheet.job}
        return render(request, "compliance/jobs/_answer.html", wrong)
    found = look_at_weighing(sheet.job, form.weighing(), at=now(), by=request.user)
    answer = _answer(request, sheet, form.weighing(), found)
    return render(request, "compliance/jobs/_answer.html", {"answer": answer, "job": sheet.job, "form": form})


@open_to(TECHNICIAN, OWNER)
@told_once
def take_over(request: SignedInRequest, number: str) -> HttpResponse:
    """The can hangs on another car: this one reading ends its use there and begins it here."""
    sheet = open_sheet(request, number)
    if request.method != "POST":
        return redirect("jobs:charge", number=number)
    return _weighing_page(request, sheet, take_over_can)


@open_to(TECHNICIAN, OWNER)
@told_once
def take_off(request: SignedInRequest, number: str, code: str) -> HttpResponse:
    """A can came off the car at its last reading."""
    sheet = open_sheet(request, number)
    can = get_object_or_404(
        sheet.job.cans_on_the_car.select_related("container"), container__pk=code
    ).container
    if request.method == "POST":

        def write(at: datetime) -> str:
            take_off_can(sheet.job, can, at=at, by=request.user)
            messages.success(request, _("%(can)s is off the car at its last reading.") % {"can": code})
            return reverse("jobs:charge", args=[number])

        try:
            return write_once(request, lambda: at_its_time(request, sheet.job, write, can=can))
        except Refused as refused:
            for finding in refused.findings:
                messages.error(request, say(finding.message))
    return redirect("jobs:charge", number=number)


@open_to(TECHNICIAN, OWNER)
@told_once
def finish_charge(request: SignedInRequest, number: str) -> HttpResponse:
    sheet = open_sheet(request, number)
    finish = FinishChargeForm(request.POST or None, sheet=sheet)
    if request.method == "POST" and finish.is_valid():

        def write(at: datetime) -> str:
            looked = request.POST.get("looked", "")
            if first := rival_stage(sheet.job, StageKind.CHARGE, looked, by=request.user):
                return keep_beside(request, sheet.job, first)
            uncertified = finish.cleaned_data["uncertified"]
            keep_charge(sheet.job, finish.charge(), uncertified=uncertified, at=at, by=request.user)
            return kept(request, sheet, StageKind.CHARGE, at)

        if answer := written(request, finish, lambda: at_its_time(request, sheet.job, write)):
            return answer
    view = charge_view(sheet)
    form = WeighForm(sheet=sheet, initial=view.next_reading)
    return render(request, "compliance/jobs/charge.html", _charge_page(request, sheet, form, finish, view))


@open_to(TECHNICIAN, OWNER)
@told_once
def retype(request: SignedInRequest, number: str, ticket: int) -> HttpResponse:
    sheet = open_sheet(request, number)
    rows = CanTicket.objects.filter(job=sheet.job).select_related("ticket__container__can__type")
    old = get_object_or_404(rows, ticket__number=ticket)
    form = WeighForm(request.POST or None, sheet=sheet, initial=_as_typed(old))
    warnings: tuple[Finding, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            can = form.weighing().container
            return write_once(
                request,
                lambda: at_its_time(request, old.job, lambda at: _retyped(request, old, form, at), can=can),
            )
        except Refused as refused:
            show_refusal(form, refused)
            warnings = tuple(one for one in refused.findings if one.weight is Weight.WARNS)
    seen = " ".join(one.code for one in warnings)
    context = {"form": form, "old": old, "job": sheet.job, "warnings": warnings, "seen": seen}
    return render(request, "compliance/jobs/retype.html", context)


@open_to(TECHNICIAN, OWNER)
def other_can(request: SignedInRequest, number: str, code: str) -> HttpResponse:
    """Every ticket of one can on this job was really another can's."""
    sheet = open_sheet(request, number)
    wrong = next((can for can in sheet.cans if can.container.pk == code), None)
    form = OtherCanForm(request.POST or None, sheet=sheet)
    if wrong is not None and request.method == "POST" and form.is_valid():

        def write() -> str:
            right = form.cleaned_data["container"]
            refile_can(sheet.job, wrong.container, right, at=now(), by=request.user)
            words = _("The tickets of %(wrong)s now stand under %(right)s.")
            messages.success(request, words % {"wrong": code, "right": right.code})
            return reverse("jobs:charge", args=[number])

        try:
            return write_once(request, write)
        except Refused as refused:
            for finding in refused.findings:
                form.add_error("container", say(finding.message))
    context = {"form": form, "job": sheet.job, "code": code, "wrong": wrong}
    return render(request, "compliance/jobs/other_can.html", context)


@open_to(TECHNICIAN, OWNER)
def mischarge(request: SignedInRequest, number: str) -> HttpResponse:
    """A can of another refrigerant already went in."""
    sheet = open_sheet(request, number)
    form = MischargeForm(
        request.POST or None, sheet=sheet, initial={"container": request.GET.get("can", "")[:24]}
    )
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            record_mischarge(sheet.job, form.mischarge(), at=now(), by=request.user)
            return reverse("jobs:page", args=[number])

        if answer := written(request, form, write):
            return answer
    context = {"form": form, "job": sheet.job, "sheet": sheet, "cylinders": cylinders(sheet, unknown=True)}
    return render(request, "compliance/jobs/mischarge.html", context)


def _weighing_page(request: SignedInRequest, sheet: Sheet, weigh: Callable[..., CanTicket]) -> HttpResponse:
    """The charge page; a reading that was sent goes to ``weigh``, and what it refuses is answered beside the form."""
    mark(sheet.job.establishment, [row.ticket for can in sheet.cans for row in can.tickets])
    view = charge_view(sheet)
    form = WeighForm(request.POST or None, sheet=sheet, initial=_begin(request, sheet, view))
    answer = None
    if request.method == "POST" and form.is_valid():
        weighing = form.weighing()
        try:
            return write_once(request, lambda: _weighed(request, sheet, weighing, weigh))
        except Refused as refused:
            show_refusal(form, refused)
            answer = _answer(request, sheet, weighing, refused.findings)
    context = _charge_page(request, sheet, form, FinishChargeForm(sheet=sheet), view) | {"answer": answer}
    return device_may_keep(request, render(request, "compliance/jobs/charge.html", context))


def _begin(request: SignedInRequest, sheet: Sheet, view: ChargeView) -> dict[str, Any]:
    """Where the form begins: what was typed and not kept, else the can on the car or the next one to take."""
    begin = dict(view.next_reading)
    draft = Draft.objects.filter(job=sheet.job, kind=StageKind.CHARGE.value).first()
    if draft is not None:
        names = ("container", "reading", "reading_line", "what", "scale", "style")
        begin |= {name: draft.typed[name] for name in names if draft.typed.get(name)}
    if request.GET.get("can"):
        begin |= {"container": request.GET["can"][:24], "reading": ""}
    return begin


def _answer(
    request: SignedInRequest, sheet: Sheet, weighing: WeighingIn, found: tuple[Finding, ...]
) -> dict[str, object]:
    """What the page says of a reading: the sum if it is kept, what looks wrong, and the one tap that puts it right."""
    form_reading = (request.POST or request.GET).get("reading", "").strip()
    warnings = [one for one in found if one.weight is Weight.WARNS]
    blocks = [one for one in found if one.blocks]
    guess = likely_weighing(sheet.job, weighing, by=request.user) if warnings or blocks else None
    return {
        "blocks": blocks,
        "warnings": warnings,
        "notes": [one for one in found if one.weight is Weight.NOTE],
        "guess": guess,
        "codes": {one.code for one in found},
        "seen": f"{' '.join(one.code for one in warnings)}@{form_reading}",
        "kept": None if blocks else if_kept(sheet, weighing.container, weighing.ticket.reading.mass),
        "can": weighing.container,
        "reading": weighing.ticket.reading,
        "scale_unit": weighing.ticket.scale.unit,
        "on_it": next(
            (can for can in sheet.cans if can.hanging and can.container != weighing.container), None
        ),
    }


def _weighed(
    request: SignedInRequest, sheet: Sheet, weighing: WeighingIn, weigh: Callable[..., CanTicket]
) -> str:
    def write(at: datetime) -> str:
        can, looked = weighing.container, request.POST.get("looked", "")
        if first := rival_ticket(sheet.job, can, weighing.moment, looked, by=request.user):
            return keep_beside(request, sheet.job, first)
        ticket = weigh(sheet.job, weighing, at=at, by=request.user).ticket
        said = {
            "time": f"{timezone.localtime(at):%H:%M:%S}",
            "number": ticket.number,
            "can": ticket.container_id,
            "reading": ticket.reading,
        }
        messages.success(request, _("%(time)s: ticket %(number)s, %(can)s, %(reading)s.") % said)
        return reverse("jobs:charge", args=[sheet.job.number])

    return at_its_time(request, sheet.job, write, can=weighing.container)


def _retyped(request: SignedInRequest, old: CanTicket, form: WeighForm, at: datetime) -> str:
    row = retype_ticket(old, form.weighing(), at=at, by=request.user)
    said = {"new": row.ticket.number, "old": old.ticket.number}
    messages.success(request, _("Ticket %(new)s now stands for ticket %(old)s.") % said)
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
    request: SignedInRequest, sheet: Sheet, form: WeighForm, finish: FinishChargeForm, view: ChargeView
) -> dict[str, object]:
    seen = sheet.check_in
    return {
        "form": form,
        "looked": looked_at(sheet),
        "finish": finish,
        "sheet": sheet,
        "job": sheet.job,
        "view": view,
        "fitness": scale_fitness(sheet, view),
        "hints": can_hints(sheet, view),
        "rules": charge_rules(sheet, view.free, now()),
        "cautions": cautions_at(StageKind.CHARGE, sheet.refrigerant, compressor=seen.compressor),
        "folded": cautions_folded(request.user, StageKind.CHARGE),
        "defer": DEFER,
        "cylinders": cylinders(sheet) if view.over is not None else (),
    }
