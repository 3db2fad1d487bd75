"""Find the difference: suspects of one count and refrigerant, and the note that leaves it."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.queries.difference import Hunt, hunt
from compliance.sheets.difference import suspects_sheet
from inventory.forms import NoteForm
from inventory.models import Count
from inventory.queries import counts
from inventory.services import leave_difference
from shop.http import SignedInRequest, now, sheet_answer, written
from shop.permissions import EVERYONE, FRONT_OFFICE, OWNER, open_to


def _hunt(request: SignedInRequest, pk: int, refrigerant: str) -> tuple[Count, Hunt]:
    mine = counts(request.user.establishment).filter(opening=False).select_related("establishment", "by")
    count = get_object_or_404(mine, pk=pk)
    found = hunt(count, refrigerant, request.user.role)
    if found is None:
        raise Http404("this count did not ask for that refrigerant")
    return count, found


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int, refrigerant: str) -> HttpResponse:
    count, found = _hunt(request, pk, refrigerant)
    return render(request, "compliance/difference/page.html", {"count": count, "hunt": found})


@open_to(*EVERYONE)
def sheet(request: SignedInRequest, pk: int, refrigerant: str, ending: str) -> HttpResponseBase:
    """The suspects as CSV or XLSX."""
    _, found = _hunt(request, pk, refrigerant)
    return sheet_answer(suspects_sheet(found), ending)


@open_to(FRONT_OFFICE, OWNER)
def leave(request: SignedInRequest, pk: int, refrigerant: str) -> HttpResponse:
    """Leave the difference as a difference, with a note and a name."""
    count, found = _hunt(request, pk, refrigerant)
    form = NoteForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            leave_difference(count, refrigerant, note=form.cleaned_data["note"], at=now(), by=request.user)
            messages.success(request, _("The note is signed. The difference stays a difference."))
            return reverse("counts:page", args=[count.pk])

        if answer := written(request, form, write):
            return answer
    shown = {"count": count, "hunt": found, "form": form}
    return render(request, "compliance/difference/leave.html", shown)
