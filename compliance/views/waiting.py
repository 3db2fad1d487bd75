"""No signal: the worker that keeps an open job's pages on a device, what waits there to be sent, and the choice between
two entries that phones made of one thing."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

from django.contrib import messages
from django.contrib.staticfiles import finders
from django.forms import Form
from django.http import HttpRequest, HttpResponse, JsonResponse, QueryDict
from django.middleware.csrf import get_token
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _
from django.views.decorators.http import require_POST

from compliance.core.stages import StageKind
from compliance.forms import STAGE_FORMS, FinishChargeForm, SkipForm, WeighForm
from compliance.forms.waiting import AsideForm
from compliance.models import EntryChoice, SpareEntry
from compliance.queries import Sheet
from compliance.services import choose_entry, finish_charge, retype_ticket, set_entry_aside
from compliance.views.jobs import job_of
from compliance.views.sent_later import device_may_keep, said_by_device
from compliance.views.stages import open_sheet
from shop.core.findings import Refused, blocked
from shop.http import SignedInRequest, now, say, write_once
from shop.permissions import OWNER, TECHNICIAN, open_to, public


@public
def worker(request: HttpRequest) -> HttpResponse:
    """The service worker. It stands at the top, since a worker sees no page above itself; a browser asks for it anew
    at every visit. The words that it shares with the pages come in front, so that both are always of one day."""
    files = [str(finders.find(f"compliance/{name}")) for name in ("pile.js", "worker.js")]
    script = "\n".join(Path(one).read_text(encoding="utf-8") for one in files)
    return HttpResponse(script, "text/javascript", headers={"Cache-Control": "no-cache"})


@public
def no_signal(request: HttpRequest) -> HttpResponse:
    """What the worker shows where it has no page: words alone, the same for whoever is signed on."""
    return render(request, "compliance/no_signal.html")


@open_to(TECHNICIAN, OWNER)
def waiting(request: SignedInRequest) -> HttpResponse:
    """What waits on this device; without signal also what stands in for a page that is not kept here."""
    return device_may_keep(request, render(request, "compliance/jobs/waiting.html"))


@open_to(TECHNICIAN, OWNER)
def token(request: SignedInRequest) -> HttpResponse:
    """Who is signed on, a token to send with and the server's own clock, for the script that sends what waits."""
    said = {"who": str(request.user.pk), "token": get_token(request), "now": timezone.now().isoformat()}
    return JsonResponse(said)


@open_to(TECHNICIAN, OWNER)
@require_POST
def aside(request: SignedInRequest, number: str) -> HttpResponse:
    """An entry that the server refused and that nobody puts right leaves the pile; it stays in the job's history."""
    job = job_of(request, number)
    form = AsideForm(request.POST)
    if not form.is_valid():
        return redirect("jobs:page", number=number)
    typed_at, ahead = said_by_device(request)

    def write() -> str:
        set_entry_aside(job, form.entry(typed_at, ahead), at=now(), by=request.user)
        return reverse("jobs:page", args=[number])

    return write_once(request, write)


@open_to(TECHNICIAN, OWNER)
@require_POST
def choose(request: SignedInRequest, number: str, pk: int) -> HttpResponse:
    """The one that is chosen counts, under who typed it; the other stays in the job's history."""
    sheet = open_sheet(request, number)
    spare = get_object_or_404(
        SpareEntry.objects.filter(job=sheet.job).select_related("by", "row", "stage"), pk=pk
    )
    which = request.POST.get("which", "")
    if which not in EntryChoice.Which.values:
        return redirect("jobs:page", number=number)

    def write() -> str:
        at = now()
        choose_entry(spare, EntryChoice.Which(which), at=at, by=request.user)
        if which == EntryChoice.Which.SECOND:
            _bring_in(sheet, spare, at)
        messages.success(request, _("Chosen. The other entry stays in the history of the job."))
        return reverse("jobs:page", args=[number])

    try:
        return write_once(request, write)
    except Refused as refused:
        for finding in refused.findings:
            messages.error(request, say(finding.message))
    return redirect("jobs:page", number=number)


def _bring_in(sheet: Sheet, spare: SpareEntry, at: datetime) -> None:
    """Write what was typed, by its own form and service."""
    typed = QueryDict(mutable=True)
    for name, value in spare.typed.items():
        typed.setlist(name, value if isinstance(value, list) else [value])
    if spare.row is not None:
        reading = WeighForm(typed, sheet=sheet)
        _refuse_wrong(reading)
        retype_ticket(spare.row, reading.weighing(), at=at, by=spare.by)
        return
    assert spare.stage is not None  # noqa: S101 - chosen among rivals only
    kind, job = StageKind(spare.stage.kind), sheet.job
    if spare.path.endswith("/leave-out/"):
        skip = SkipForm(typed, job=job, refrigerant=sheet.refrigerant)
        _refuse_wrong(skip)
        skip.write_for(kind, at=at, by=spare.by)
    elif kind is StageKind.CHARGE:
        finish = FinishChargeForm(typed, sheet=sheet)
        _refuse_wrong(finish)
        uncertified = finish.cleaned_data["uncertified"]
        finish_charge(job, finish.charge(), uncertified=uncertified, at=at, by=spare.by)
    else:
        form = STAGE_FORMS[kind](typed, job=job, refrigerant=sheet.refrigerant)
        _refuse_wrong(form)
        form.write(at=at, by=spare.by)


def _refuse_wrong(form: Form) -> None:
    """What the form cannot read is refused with its own sentences."""
    if not form.is_valid():
        wrong = [(name, str(error)) for name, errors in form.errors.items() for error in errors]
        raise Refused([blocked("entry-wrong", sentence, name) for name, sentence in wrong])
