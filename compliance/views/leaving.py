"""Somebody leaves: one page for the last day, what stands on their card, their open jobs and who holds a copy."""

from __future__ import annotations

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.utils import timezone
from django.utils.translation import gettext as _

from compliance.core.card_copy import notice_paper
from compliance.forms.people import NoticeForm, ToWhomForm
from compliance.queries.card_copies import Holding, holdings, notice_facts
from compliance.queries.people import doers, open_jobs_of
from compliance.services.card_copies import NoticeIn, note_notice, notice_pdf
from compliance.services.leaving import hand_over_all
from shop.forms import LeaveForm
from shop.http import SignedInRequest, now, written
from shop.models import Person
from shop.permissions import FRONT_OFFICE, OWNER, open_to
from shop.services import leave_shop
from shop.views.cards import person_of


def _page_of(person: Person) -> str:
    return reverse("people:leave", args=[person.pk])


@open_to(OWNER)
def leave(request: SignedInRequest, pk: int) -> HttpResponse:
    """The last day, written down once; afterwards the same page says what is left to do."""
    person, at = person_of(request, pk), now()
    today = timezone.localdate(at)
    form = LeaveForm(request.POST or None, initial={"last_day": today, "access": "night"})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            left = leave_shop(person, form.leaving(), today=today, at=at, by=request.user)
            said = _("%(name)s: the sign-on has ended. Cards and records stay.")
            if not left.at_once:
                said = _("%(name)s signs on up to the end of the last day. Cards and records stay.")
            messages.success(request, said % {"name": person.name})
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    doer = next(one for one in doers(request.user.establishment, today) if one.person.pk == pk)
    jobs = open_jobs_of(person)
    shown = {
        "person": person,
        "form": form,
        "doer": doer,
        "jobs": jobs,
        "to_whom": ToWhomForm(leaver=person, by=request.user) if jobs else None,
        "holdings": holdings(request.user.establishment, person),
        "leaving": person.leavings.select_related("by").last(),
        "has_left": not person.is_active or person.leaves_on is not None,
    }
    return render(request, "compliance/people/leave.html", shown)


@open_to(OWNER)
def hand_over(request: SignedInRequest, pk: int) -> HttpResponse:
    """All open jobs of somebody into other hands."""
    person = person_of(request, pk)
    form = ToWhomForm(request.POST or None, leaver=person, by=request.user)
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            given = hand_over_all(person, to=form.person(), at=now(), by=request.user)
            said = {"name": form.person().name, "jobs": len(given)}
            messages.success(request, _("%(name)s goes on with %(jobs)d jobs.") % said)
            return _page_of(person)

        if answer := written(request, form, write):
            return answer
    shown = {"person": person, "form": form, "jobs": open_jobs_of(person)}
    return render(request, "compliance/people/hand_over.html", shown)


def _held(request: SignedInRequest, pk: int, supplier: int) -> tuple[Person, list[Holding]]:
    person = person_of(request, pk)
    held = [one for one in holdings(request.user.establishment, person) if one.supplier.pk == supplier]
    if not held:
        raise Http404("this supplier holds no card of theirs")
    return person, held


@open_to(FRONT_OFFICE, OWNER)
def notice(request: SignedInRequest, pk: int, supplier: int) -> HttpResponse:
    """The letter to a supplier, and that it was sent."""
    (person, held), at = _held(request, pk, supplier), now()
    today = timezone.localdate(at)
    form = NoticeForm(request.POST or None, initial={"on": today})
    if request.method == "POST" and form.is_valid():

        def write() -> str:
            told = NoticeIn(held[0].supplier, **form.told())
            note_notice(person, told, today=today, at=at, by=request.user)
            messages.success(request, _("%(supplier)s was told.") % {"supplier": held[0].supplier.name})
            return reverse("people:page", args=[person.pk])

        if answer := written(request, form, write):
            return answer
    paper = notice_paper(notice_facts(person, held, on=today, at=at, by=request.user))
    shown = {"person": person, "held": held, "first": held[0], "form": form, "paper": paper}
    return render(request, "compliance/people/notice.html", shown)


@open_to(FRONT_OFFICE, OWNER)
def pdf(request: SignedInRequest, pk: int, supplier: int) -> HttpResponse:
    (person, held), at = _held(request, pk, supplier), now()
    drawn = notice_pdf(person, held[0].supplier, on=timezone.localdate(at), at=at, by=request.user)
    name = {"Content-Disposition": 'inline; filename="notice.pdf"', "X-Content-Type-Options": "nosniff"}
    return HttpResponse(drawn, content_type="application/pdf", headers=name)
