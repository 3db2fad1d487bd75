"""Old records: what is past its time, the archive of it, and keeping everything for ever."""

from __future__ import annotations

import tempfile

from django.contrib import messages
from django.http import FileResponse, HttpResponse, HttpResponseBase
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.utils.text import slugify
from django.utils.translation import gettext as _

from compliance.core.old import Keeps, by_kind
from compliance.forms.packages import KeepForm
from compliance.models import Package
from compliance.queries.cleared import clearings, is_due, step_of
from compliance.queries.old_records import keep_choice, keeping, kept_for_ever, old_records
from compliance.queries.packages import packages
from compliance.services import choose_keeping, make_archive
from compliance.sheets.archive import old_records_sheet
from compliance.sheets.writing import into_zip
from shop.core.findings import Refused
from shop.http import SignedInRequest, now, say, sheet_answer, written
from shop.permissions import OWNER, by_password, open_to

SHOWN = 50  # records one by one; the sheet has all of them


@open_to(OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    house, today = request.user.establishment, timezone.localdate(now())
    records, kept = old_records(house, today), keeping(house, today)
    free = [one for one in records if one.is_free]
    shown = {
        "today": today,
        "lines": [(line, kept[line.kind]) for line in by_kind(records)],
        "records": records[:SHOWN],
        "past": len(records),
        "more": max(len(records) - SHOWN, 0),
        "held": sum(one.keeps is Keeps.HOLD for one in records),
        "needed": sum(one.keeps is Keeps.NEEDED for one in records),
        "cleared": sum(one.cleared for one in records),
        "clearings": [(one, step_of(one), is_due(one, today)) for one in clearings(house)],
        "free": len(free),
        "unarchived": sum(not one.archived for one in free),
        "archives": packages(house, Package.Kind.ARCHIVE),
        "choice": keep_choice(house),
    }
    return render(request, "compliance/old/list.html", shown)


@open_to(OWNER)
def archive(request: SignedInRequest) -> HttpResponseBase:
    """Make the archive and hand it out; what was made is written down with its hashes."""
    if request.method != "POST":
        return redirect("old:list")
    if not by_password(request):
        messages.warning(request, _("Sign on with your password first: this holds customers' details."))
        return redirect("old:list")
    house, at = request.user.establishment, now()
    file = tempfile.TemporaryFile()  # noqa: SIM115 - the answer closes it
    try:
        made = make_archive(house, into_zip(file), today=timezone.localdate(at), at=at, by=request.user)
    except Refused as refused:
        file.close()
        for finding in refused.findings:
            messages.warning(request, say(finding.message))
        return redirect("old:list")
    name = f"{slugify(house.name) or 'shop'}-archive-{made.day}.zip"
    return FileResponse(file, as_attachment=True, filename=name, content_type="application/zip")


@open_to(OWNER)
def keep(request: SignedInRequest) -> HttpResponse:
    """Keep everything for ever, or go back to the years of the rules."""
    house = request.user.establishment
    form = KeepForm(request.POST or None, initial={"how": "for ever" if kept_for_ever(house) else "rules"})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            said = form.cleaned_data
            chosen = said["how"] == "for ever"
            choose_keeping(house, for_ever=chosen, why=said["why"], at=now(), by=request.user)
            return reverse("old:list")

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/old/keep.html", {"form": form, "choice": keep_choice(house)})


@open_to(OWNER)
def sheet(request: SignedInRequest, ending: str) -> HttpResponseBase:
    house, today = request.user.establishment, timezone.localdate(now())
    return sheet_answer(old_records_sheet(house, old_records(house, today), today), ending)
