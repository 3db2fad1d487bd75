"""Copies of 609 cards for suppliers: who holds what, a new one, the sheet."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone

from compliance.core.card_copy import card_copy_paper
from compliance.forms.people import CopyForm
from compliance.models import CardCopy
from compliance.queries.card_copies import (
    buyers_on,
    copies,
    copy_facts,
    copy_photos,
    holdings,
    may_be_copied,
)
from compliance.services.card_copies import card_copy_pdf, give_card_copy
from shop.http import SignedInRequest, now, written
from shop.permissions import FRONT_OFFICE, OWNER, open_to


@open_to(FRONT_OFFICE, OWNER)
def listing(request: SignedInRequest) -> HttpResponse:
    """Suppliers, cards held and days, and who may buy."""
    house, today = request.user.establishment, timezone.localdate(now())
    shown = {"holdings": holdings(house), "copies": copies(house)[:50], "buyers": buyers_on(house, today)}
    return render(request, "compliance/people/copies.html", shown | {"today": today})


@open_to(FRONT_OFFICE, OWNER)
def new(request: SignedInRequest) -> HttpResponse:
    house, at = request.user.establishment, now()
    today = timezone.localdate(at)
    choice = may_be_copied(house, today)
    first = {"people": [request.GET.get("person", "")]}
    form = CopyForm(request.POST or None, establishment=house, people=choice, initial=first)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            made = give_card_copy(form.copy(), house, on=today, at=at, by=request.user)
            return reverse("people:copy", args=[made.number])

        if answer := written(request, form, write):
            return answer
    shown = {"form": form, "choice": choice, "buyers": buyers_on(house, today)}
    return render(request, "compliance/people/new_copy.html", shown)


def _copy(request: SignedInRequest, number: str) -> CardCopy:
    return get_object_or_404(copies(request.user.establishment), number=number)


@open_to(FRONT_OFFICE, OWNER)
def page(request: SignedInRequest, number: str) -> HttpResponse:
    copy = _copy(request, number)
    shown = {"copy": copy, "paper": card_copy_paper(copy_facts(copy), copy_photos(copy))}
    return render(request, "compliance/people/copy.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def pdf(request: SignedInRequest, number: str) -> HttpResponse:
    name = {"Content-Disposition": f'inline; filename="{number}.pdf"', "X-Content-Type-Options": "nosniff"}
    return HttpResponse(card_copy_pdf(_copy(request, number)), content_type="application/pdf", headers=name)
