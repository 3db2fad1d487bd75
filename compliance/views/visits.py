"""Visit slips: begin one, find what they ask for, write down what was shown and copied, end it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django import forms
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.core.visit_slip import visit_slip
from compliance.forms.visits import CopyGivenForm, EndVisitForm, QuestionForm, ShownForm, VisitForm
from compliance.models import Visit
from compliance.queries.trails import trails, visits
from compliance.queries.visit_slips import visit_facts
from compliance.services.visits import end_visit, note_copy, note_shown, open_visit, owe_answer, slip_pdf
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, open_to

FORMS = {"shown": ShownForm, "copy": CopyGivenForm, "question": QuestionForm, "end": EndVisitForm}


@open_to(*EVERYONE)
def listing(request: SignedInRequest) -> HttpResponse:
    return render(request, "compliance/visits/list.html", {"rows": visits(request.user.establishment)})


@open_to(*EVERYONE)
def new(request: SignedInRequest) -> HttpResponse:
    house, moment = request.user.establishment, timezone.localtime(now())
    first = {"came_at": moment.time().replace(second=0, microsecond=0), "host": request.user}
    form = VisitForm(request.POST or None, establishment=house, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            came = form.came(moment.date())
            visit = open_visit(form.visit(), house, came_at=came, at=moment, by=request.user)
            return reverse("visits:page", args=[visit.number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/visits/new.html", {"form": form})


@open_to(*EVERYONE)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    """The slip as it stands, and one search for whatever they ask for."""
    visit, asked = visit_of(request, number), request.GET.get("q", "").replace("\0", "")[:40]
    context = {
        "visit": visit,
        "asked": asked,
        "trails": trails(request.user.establishment, asked),
        "paper": visit_slip(visit_facts(visit, at=now())),
        "at": now(),
    }
    return render(request, "compliance/visits/page.html", context)


@open_to(*EVERYONE)
def pdf(request: SignedInRequest, number: str) -> HttpResponse:
    headers = {"Content-Disposition": f'inline; filename="{number}.pdf"', "X-Content-Type-Options": "nosniff"}
    content = slip_pdf(visit_of(request, number), at=now())
    return HttpResponse(content, content_type="application/pdf", headers=headers)


@open_to(*EVERYONE)
def note(request: SignedInRequest, number: str, kind: str) -> HttpResponse:
    """Write down one thing: shown, copied, a question that is owed, or the end."""
    if kind not in FORMS:
        raise Http404("a slip keeps what was shown, copied, asked, and the end")
    visit = visit_of(request, number)
    first = {"what": request.GET.get("what", "").replace("\0", "")[:200]}
    form = FORMS[kind](request.POST or None, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            _writer(request, visit, form, kind)()
            return reverse("visits:page", args=[number])

        if answer := written(request, form, write):
            return answer
    return render(request, "compliance/visits/note.html", {"form": form, "visit": visit, "kind": kind})


def visit_of(request: SignedInRequest, number: str) -> Visit:
    return get_object_or_404(visits(request.user.establishment), number=number)


def _writer(request: SignedInRequest, visit: Visit, form: forms.Form, kind: str) -> Callable[[], object]:
    said, moment = form.cleaned_data, now()
    signed: dict[str, Any] = {"at": moment, "by": request.user}
    if kind == "shown":
        return lambda: note_shown(visit, said["what"], **signed)
    if kind == "copy":
        return lambda: note_copy(visit, said["what"], pages=said["pages"], **signed)
    if kind == "question":
        today = timezone.localdate(moment)
        return lambda: owe_answer(visit, said["question"], due=said["due"], today=today, **signed)
    return lambda: end_visit(visit, note=said["note"], **signed)
