"""A scale that did not pass its check: which tickets are in doubt, and what the owner decides."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils.translation import gettext as _

from compliance.queries.doubt_view import DoubtView, doubt_of, job_of
from inventory.forms import SettleForm
from inventory.services import settle_doubt
from shop.http import SignedInRequest, now, written
from shop.permissions import EVERYONE, OWNER, open_to


def _doubt(request: SignedInRequest, pk: int) -> DoubtView:
    found = doubt_of(request.user.establishment, pk)
    if found is None:
        raise Http404("no such check of a scale that did not pass")
    return found


@open_to(*EVERYONE)
def page(request: SignedInRequest, pk: int) -> HttpResponse:
    view = _doubt(request, pk)
    rows = [(ticket, job_of(ticket)) for ticket in view.shown]
    return render(
        request, "compliance/doubt/page.html", {"view": view, "check": view.doubt.check, "rows": rows}
    )


@open_to(OWNER)
def settle(request: SignedInRequest, pk: int) -> HttpResponse:
    """Decide what holds for the tickets; their mark goes, the decision stays with the check."""
    view, form = _doubt(request, pk), SettleForm(request.POST or None)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            typed = form.cleaned_data
            settle_doubt(
                view.doubt.check, decided=typed["decided"], why=typed["why"], at=now(), by=request.user
            )
            messages.success(request, _("Decided and signed. The tickets stay as they are."))
            return reverse("doubt", args=[pk])

        if answer := written(request, form, write):
            return answer
    shown = {"view": view, "check": view.doubt.check, "form": form}
    return render(request, "compliance/doubt/settle.html", shown)
