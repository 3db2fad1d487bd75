"""Bring in: stock, people and vehicles from a spreadsheet, looked at before anything is written."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from inventory.core.importing import HEADINGS, TITLES, What
from inventory.forms import ImportForm, UndoImportForm, WriteForm
from inventory.models import ImportDraft
from inventory.queries import imports
from inventory.services import keep_draft, look_at, undo_import, write_import
from shop.core.findings import Refused
from shop.core.sheet import Sheet, columns
from shop.http import SignedInRequest, now, say, sheet_answer, show_refusal, written
from shop.permissions import OWNER, open_to

SHOWN = 5  # rows of the preview
MOST_TROUBLES = 1000  # on one page; how many more there are is said


@open_to(OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    """Choose what and the file; nothing is written yet."""
    sent, at, house = request.method == "POST", now(), request.user.establishment
    form = ImportForm(request.POST if sent else None, request.FILES if sent else None)
    if sent and form.is_valid():
        what, name, content = form.sent()
        try:
            look_at(what, content, house, today=timezone.localdate(at))
        except Refused as refused:
            show_refusal(form, refused)
        else:

            def write() -> str:
                keep_draft(what, name, content, house, at=at, by=request.user)
                return reverse("import:look")

            if answer := written(request, form, write):
                return answer
    templates = [(one.value, TITLES[one], HEADINGS[one]) for one in What]
    shown = {"form": form, "templates": templates, "made": imports(house)[:50]}
    return render(request, "inventory/imports/new.html", shown)


@open_to(OWNER)
def look(request: SignedInRequest) -> HttpResponse:
    """The preview: what would be written, and every troubled cell. The button writes all of it or nothing."""
    at, house = now(), request.user.establishment
    today = timezone.localdate(at)
    draft = ImportDraft.objects.filter(by=request.user, establishment=house).first()
    if draft is None:
        return render(request, "inventory/imports/gone.html")
    form = WriteForm(request.POST or None, initial={"sha256": draft.sha256})
    try:
        found = look_at(What(draft.what), bytes(draft.content), house, today=today)
    except Refused as refused:
        messages.error(request, " ".join(say(one.message) for one in refused.findings))
        return render(request, "inventory/imports/gone.html")
    if request.method == "POST" and form.is_valid():
        if form.cleaned_data["sha256"] != draft.sha256:
            form.add_error(None, _("Another file was sent since. This is it: look at it first."))
        else:

            def write() -> str:
                made = write_import(draft, today=today, at=at, by=request.user)
                messages.success(request, _("%(rows)s rows are written.") % {"rows": made.rows})
                return reverse("import:page", args=[made.pk])

            if answer := written(request, form, write):
                return answer
    shown = {
        "form": form,
        "draft": draft,
        "look": found,
        "headings": HEADINGS[found.what],
        "troubles": found.troubles[:MOST_TROUBLES],
        "more": max(len(found.troubles) - MOST_TROUBLES, 0),
        "troubled_rows": len({one.row for one in found.troubles}),
        "first": found.cells[:SHOWN],
    }
    return render(request, "inventory/imports/look.html", shown)


@open_to(OWNER)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    """One import, and the way back while nothing stands on it."""
    made, at = get_object_or_404(imports(request.user.establishment), pk=pk), now()
    form = UndoImportForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            why, today = form.cleaned_data["why"], timezone.localdate(at)
            undo_import(made, why, today=today, at=at, by=request.user)
            messages.success(request, _("The import is undone, all of it."))
            return reverse("import:page", args=[made.pk])

        if answer := written(request, form, write):
            return answer
    return render(request, "inventory/imports/page.html", {"form": form, "made": made})


@open_to(OWNER)
def template(request: SignedInRequest, what: str, ending: str) -> HttpResponseBase:
    """The empty spreadsheet with its headings."""
    if what not in list(What):
        raise Http404("no such template")
    kind = What(what)
    headings = columns(*((one.name, one.about) for one in HEADINGS[kind]))
    return sheet_answer(Sheet(f"template-{what}", str(TITLES[kind]), headings, ()), ending)
